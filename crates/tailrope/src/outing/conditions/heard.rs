//! What was picked of the voices: for the page, with those that were not, and for the ages.

use super::voices::{Typed, Voice, Voices, Whence, worst};
use crate::facts::Known;
use crate::outing::plan::{ConditionSaid, ConditionView};
use crate::quantity::Quantity;

/// The two parts that are judged or left out as a whole.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Part {
    Sea,
    Weather,
}

/// A figure for the page, the time of its source, and what others say with theirs.
type Shown = (ConditionView, Known<jiff::Timestamp>, Vec<(ConditionSaid, Known<jiff::Timestamp>)>);

/// What was picked of the voices, for the page and for the ages.
#[derive(Default)]
pub(super) struct Heard {
    shown: Vec<Shown>,
    ages: Vec<(Part, Known<f64>)>,
}

impl Heard {
    /// The worse of several voices by a key; shows it and the others.
    pub(super) fn pick<Q: Quantity>(
        &mut self,
        part: Part,
        name: &str,
        all: &[Voice<Q>],
        key: impl Fn(Q) -> f64,
    ) -> Option<Q> {
        let chosen = worst(all, key);
        self.used(part, chosen.map(|c| &c.whence));
        self.show(name, chosen, all);
        chosen.map(|c| c.value)
    }

    pub(super) fn used(&mut self, part: Part, whence: Option<&Whence>) {
        self.ages.extend(whence.map(|w| (part, w.age_h)));
    }

    pub(super) fn show<Q: Quantity>(&mut self, name: &str, chosen: Option<&Voice<Q>>, all: &[Voice<Q>]) {
        let whence = chosen.map(|c| &c.whence);
        let view = ConditionView {
            name: name.to_owned(),
            value: chosen.map(|c| c.value.si()),
            unit: Q::SI.to_owned(),
            source: whence.map_or_else(String::new, |w| w.source.clone()),
            kind: whence.map_or("unknown", |w| w.kind),
            at: None,
            age_h: whence.and_then(|w| w.age_h.get()),
            also: Vec::new(),
        };
        let also = chosen.map_or_else(Vec::new, |c| others(all, Some(&c.whence)));
        self.shown.push((view, whence.map_or(Known::Unknown, |w| w.at), also));
    }

    /// A figure that follows from others, with the model's name: as old as the oldest of them.
    pub(super) fn derive<Q: Quantity>(&mut self, name: &str, value: Option<Q>, model: &str, from: &[Whence]) {
        self.derived(name, value, model, from, Vec::new());
    }

    /// The same beside what was said and is milder.
    pub(super) fn derive_beside<Q: Quantity>(
        &mut self,
        name: &str,
        value: Q,
        model: &str,
        from: &[Whence],
        said: &[Voice<Q>],
    ) {
        self.derived(name, Some(value), model, from, others(said, None));
    }

    fn derived<Q: Quantity>(
        &mut self,
        name: &str,
        value: Option<Q>,
        model: &str,
        from: &[Whence],
        also: Vec<(ConditionSaid, Known<jiff::Timestamp>)>,
    ) {
        // Of several ages one unknown makes the whole unknown.
        let ages: Option<Vec<f64>> = from.iter().map(|w| w.age_h.get()).collect();
        let view = ConditionView {
            name: name.to_owned(),
            value: value.map(Quantity::si),
            unit: Q::SI.to_owned(),
            source: model.to_owned(),
            kind: "model",
            at: None,
            age_h: ages.and_then(|a| a.into_iter().reduce(f64::max)),
            also: Vec::new(),
        };
        self.shown.push((view, Known::Unknown, also));
    }

    pub(super) fn speaks(&self, part: Part) -> bool {
        self.ages.iter().any(|(p, _)| *p == part)
    }

    /// Age of the oldest figure that counts. Where none does, that of what was typed and is too old, or of the youngest
    /// report that is.
    pub(super) fn age(&self, part: Part, v: &Voices<'_>, section: Typed) -> Known<f64> {
        let mut oldest = None;
        for (_, age) in self.ages.iter().filter(|(p, _)| *p == part) {
            let Known::Known(h) = age else { return Known::Unknown };
            oldest = Some(f64::max(*h, oldest.unwrap_or(0.0)));
        }
        match oldest {
            Some(h) => Known::Known(h),
            None => match v.typed_at(section) {
                Known::Known(at) => v.too_old_h(at),
                Known::Unknown => v.silent().into_iter().map(|(_, _, h)| h).reduce(f64::min).into(),
            },
        }
    }

    pub(super) fn view(self, v: &Voices<'_>) -> Vec<ConditionView> {
        let local =
            |at: Known<jiff::Timestamp>| at.get().map(|at| crate::outing::windows::local(at, &v.read.zone));
        self.shown
            .into_iter()
            .map(|(mut view, at, others)| {
                view.at = local(at);
                view.also = others
                    .into_iter()
                    .map(|(mut said, at)| {
                        said.at = local(at);
                        said
                    })
                    .collect();
                view
            })
            .collect()
    }
}

/// What voices say that were not chosen.
fn others<Q: Quantity>(
    all: &[Voice<Q>],
    chosen: Option<&Whence>,
) -> Vec<(ConditionSaid, Known<jiff::Timestamp>)> {
    let mut others: Vec<(ConditionSaid, Known<jiff::Timestamp>)> = Vec::new();
    for o in all.iter().filter(|o| chosen != Some(&o.whence)) {
        let w = &o.whence;
        // Of one source that says several things in these hours its first is shown.
        if others.iter().any(|(s, at)| s.source == w.source && *at == w.at) {
            continue;
        }
        let said = ConditionSaid {
            value: o.value.si(),
            source: w.source.clone(),
            kind: w.kind,
            at: None,
            age_h: w.age_h.get(),
        };
        others.push((said, w.at));
    }
    others
}

/// The typed voice before the reported ones.
pub(super) fn with<Q>(typed: Option<Voice<Q>>, reported: Vec<Voice<Q>>) -> Vec<Voice<Q>> {
    typed.into_iter().chain(reported).collect()
}
