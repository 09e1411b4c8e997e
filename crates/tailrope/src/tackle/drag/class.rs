//! What can be said of a drag that nobody measured: the band of its class, and a caution.

use crate::facts::Known;
use crate::tackle::Outfit;
use crate::tackle::tables::Tables;
use serde::Serialize;

/// What can be said of a drag that nobody measured.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ClassDrag {
    /// Greatest drag with a full spool, N.
    pub max_n: Known<[f64; 3]>,
    /// Always true: a caution goes with it, and nothing of how the lever divides it is known.
    pub nothing_measured: bool,
    /// Where the band comes from.
    pub source: String,
}

/// The band of an outfit's class, for a drag without readings.
pub fn class_drag(outfit: &Outfit, tables: &Tables) -> ClassDrag {
    match outfit.reel.max_drag(tables) {
        Known::Known(f) => ClassDrag {
            max_n: Known::Known([f.value.low.n(), f.value.central.n(), f.value.high.n()]),
            nothing_measured: true,
            source: f.source,
        },
        Known::Unknown => ClassDrag {
            max_n: Known::Unknown,
            nothing_measured: true,
            source: "nothing known of this reel".into(),
        },
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tackle::tables::tests::shipped;

    #[test]
    fn without_readings_there_is_only_the_class() {
        let t = shipped();
        let mut known = Outfit::named("left 80");
        known.reel.class = Known::Known("80".into());
        let c = class_drag(&known, &t);
        assert!(c.nothing_measured && !c.max_n.is_unknown());
        assert!(class_drag(&Outfit::named("spinning"), &t).max_n.is_unknown());
    }
}
