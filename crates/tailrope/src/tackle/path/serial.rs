//! Quantities as bare SI numbers under keys that name the unit, for the JSON that scripts read.

#![allow(clippy::trivially_copy_pass_by_ref, clippy::ref_option)] // serde hands over references

use crate::facts::Known;
use crate::quantity::{Force, Length, Quantity};
use serde::Serializer;

pub(crate) fn as_n<S: Serializer>(f: &Force, s: S) -> Result<S::Ok, S::Error> {
    s.serialize_f64(f.n())
}
pub(crate) fn as_m<S: Serializer>(l: &Length, s: S) -> Result<S::Ok, S::Error> {
    s.serialize_f64(l.m())
}
pub(crate) fn as_mm<S: Serializer>(l: &Length, s: S) -> Result<S::Ok, S::Error> {
    s.serialize_f64(l.mm())
}
pub(crate) fn known_si<Q: Quantity, S: Serializer>(q: &Known<Q>, s: S) -> Result<S::Ok, S::Error> {
    match q {
        Known::Known(q) => s.serialize_f64(q.si()),
        Known::Unknown => s.serialize_str("unknown"),
    }
}
pub(crate) fn option_n<S: Serializer>(f: &Option<Force>, s: S) -> Result<S::Ok, S::Error> {
    match f {
        Some(f) => s.serialize_some(&f.n()),
        None => s.serialize_none(),
    }
}

pub(crate) fn option_m<S: Serializer>(l: &Option<Length>, s: S) -> Result<S::Ok, S::Error> {
    match l {
        Some(l) => s.serialize_some(&l.m()),
        None => s.serialize_none(),
    }
}
