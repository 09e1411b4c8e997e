//! What a species pack must satisfy beyond its shape; each refusal names file, line, key.

use super::pack::SCHEMA;
use super::raw::{Class, FallbackName, File, Hooks, Row, Triple, Water};
use super::{LengthKind, SurvivalClass};
use crate::Result;
use crate::facts::PackText;
use std::collections::BTreeSet;

pub(super) struct Checker<'a> {
    text: &'a PackText<'a>,
}

type Pair = BTreeSet<LengthKind>;

impl<'a> Checker<'a> {
    pub(super) fn new(text: &'a PackText<'a>) -> Self {
        Self { text }
    }

    /// Refuses the value at `path` unless `ok`.
    fn need(&self, ok: bool, path: &str, error: impl Into<String>, allowed: &str) -> Result<()> {
        if ok { Ok(()) } else { Err(self.text.refuse(path, error, allowed, "correct this line")) }
    }

    fn between(&self, path: &str, x: f64, min: f64, max: f64) -> Result<()> {
        // NaN fails both comparisons.
        self.need(x >= min && x <= max, path, format!("{x} is out of range"), &format!("{min} to {max}"))
    }

    fn triple(&self, path: &str, t: &Triple, min: f64, max: f64) -> Result<()> {
        self.between(path, t.low, min, max)?;
        self.between(path, t.high, min, max)?;
        self.need(
            t.low <= t.central && t.central <= t.high,
            path,
            "the three values are out of order",
            "low <= central <= high",
        )
    }

    fn mix(&self, path: &str, m: &Hooks) -> Result<()> {
        for x in [m.jaw, m.foul, m.deep, m.gill] {
            self.between(path, x, 0.0, 1.0)?;
        }
        let sum = m.jaw + m.foul + m.deep + m.gill;
        self.need((sum - 1.0).abs() < 1e-6, path, format!("the shares sum to {sum}"), "a sum of 1")
    }

    fn water(&self, path: &str, w: &Water) -> Result<()> {
        let [a, b] = w.prefer;
        self.between(path, w.min, -2.0, 40.0)?;
        self.between(path, w.max, -2.0, 40.0)?;
        self.need(
            w.min <= a && a <= b && b <= w.max,
            path,
            "temperatures are out of order",
            "min <= prefer <= max",
        )
    }

    pub(super) fn file(&self, f: &File) -> Result<()> {
        self.need(f.schema == SCHEMA, "schema", format!("`{}` is another format", f.schema), SCHEMA)?;
        for (path, r) in
            [("lengths.fl_over_tl", &f.lengths.fl_over_tl), ("lengths.pcl_over_tl", &f.lengths.pcl_over_tl)]
        {
            for x in [r.whalers, r.hammerheads].into_iter().chain(r.lamnids) {
                self.between(path, x, 0.5, 1.0)?;
            }
        }
        self.between("lengths.error_1sd", f.lengths.error_1sd.line, 0.0, 0.2)?;
        self.between("lengths.error_1sd", f.lengths.error_1sd.ratio, 0.0, 0.2)?;
        let e = &f.mass.error_factor_2sd;
        for x in [e.regression, e.proxy, e.fallback] {
            self.between("mass.error_factor_2sd", x, 1.0, 4.0)?;
        }
        for (path, l) in
            [("mass.fallback_slim", &f.mass.fallback_slim), ("mass.fallback_stout", &f.mass.fallback_stout)]
        {
            self.between(path, l.a, 1e-8, 1e-2)?;
            self.between(path, l.b, 2.0, 4.0)?;
        }
        self.between("likely.upper_of_female_maturity", f.likely.upper_of_female_maturity, 1.0, 2.0)?;
        self.between("likely.upper_of_max_length", f.likely.upper_of_max_length, 0.3, 1.0)?;
        self.between("likely.own_log_share_above", f.likely.own_log_share_above, 0.0, 1.0)?;
        self.common(f)?;
        let mut ids = BTreeSet::new();
        for (i, row) in f.species.iter().enumerate() {
            let at = format!("species[{i}]");
            self.need(
                ids.insert(row.id.as_str()),
                &format!("{at}.id"),
                format!("`{}` stands twice", row.id),
                "one entry a species",
            )?;
            self.row(&at, row, f)?;
        }
        self.need(!ids.is_empty(), "species", "no species", "at least one")?;
        for (i, l) in f.lookalike.iter().enumerate() {
            let at = format!("lookalike[{i}]");
            for p in &l.pair {
                self.need(
                    ids.contains(p.as_str()),
                    &format!("{at}.pair"),
                    format!("no species `{p}`"),
                    "handles of the file",
                )?;
            }
            self.between(&format!("{at}.overlap"), l.overlap, 0.0, 1.0)?;
        }
        for id in f.unknown.worst_of.iter().chain([&f.unknown.size_of]) {
            self.need(
                ids.contains(id.as_str()),
                "unknown.worst_of",
                format!("no species `{id}`"),
                "handles of the file",
            )?;
        }
        self.need(
            !f.unknown.worst_of.is_empty(),
            "unknown.worst_of",
            "the list is empty",
            "at least one species",
        )?;
        for id in &f.power.endotherm.species {
            self.need(
                ids.contains(id.as_str()),
                "power.endotherm",
                format!("no species `{id}`"),
                "handles of the file",
            )?;
        }
        self.water("unknown.temperature_c", &f.unknown.temperature_c)
    }

    fn common(&self, f: &File) -> Result<()> {
        let b = &f.body;
        self.triple("body.girth_const", &b.girth_const, 10.0, 100.0)?;
        self.between("body.girth_const_tarpon", b.girth_const_tarpon.value, 10.0, 100.0)?;
        for (path, l) in [("body.wetted_area_m2", &b.wetted_area_m2), ("body.side_area_m2", &b.side_area_m2)]
        {
            self.between(path, l.coef, 0.001, 1.0)?;
            self.between(path, l.exponent, 0.3, 1.0)?;
            let [low, high] = l.range.unwrap_or([l.coef, l.coef]);
            self.need(
                low <= l.coef && l.coef <= high,
                path,
                "the range does not hold the value",
                "low <= coef <= high",
            )?;
        }
        self.triple("body.broadside_cd", &b.broadside_cd, 0.1, 3.0)?;
        self.triple("body.swimming_drag_multiplier", &b.swimming_drag_multiplier, 1.0, 10.0)?;
        self.triple("body.submerged_weight_fraction", &b.submerged_weight_fraction, 0.0, 0.2)?;
        let p = &f.power;
        self.triple(
            "power.anaerobic_thrust_work_j_per_kg",
            &p.anaerobic_thrust_work_j_per_kg,
            10.0,
            10_000.0,
        )?;
        self.triple("power.burst_thrust_w_per_kg", &p.burst_thrust_w_per_kg, 0.1, 100.0)?;
        self.triple("power.aerobic_thrust_w_per_kg_at_1kg", &p.aerobic_thrust_w_per_kg_at_1kg, 0.01, 10.0)?;
        self.between("power.aerobic_mass_exponent", p.aerobic_mass_exponent, -0.5, 0.0)?;
        self.between("power.endotherm", p.endotherm.multiplier, 1.0, 5.0)?;
        self.between("power.static_thrust", p.static_thrust.tail_span_over_l, 0.05, 0.6)?;
        self.between("power.static_thrust", p.static_thrust.tail_sweep_over_l, 0.05, 0.6)?;
        let s = &f.survival;
        self.between("survival.exponent_spread", s.exponent_spread, 0.0, 0.5)?;
        self.between("survival.linear_beyond_min", s.linear_beyond_min, 10.0, 600.0)?;
        self.between("survival.still_held_as_air", s.still_held_as_air, 0.0, 1.0)?;
        self.between("survival.cold_floor_below_tref_c", s.cold_floor_below_tref_c, 0.0, 20.0)?;
        self.mix("survival.hook_mix_circle", &s.hook_mix_circle)?;
        self.mix("survival.hook_mix_j", &s.hook_mix_j)?;
        self.between("survival.gill_floor", s.gill_floor.central, 0.0, s.gill_floor.high)?;
        self.between("survival.gill_floor", s.gill_floor.high, 0.0, 10.0)?;
        let c = &s.condition_factor;
        for x in [c.strong, c.slow_but_upright, c.rolled_or_no_tail_beat, c.no_jaw_or_eyelid_reflex] {
            self.between("survival.condition_factor", x, 0.01, 100.0)?;
        }
        for class in
            [SurvivalClass::A, SurvivalClass::B, SurvivalClass::C, SurvivalClass::D, SurvivalClass::T]
        {
            let path = format!("survival.class.{class:?}");
            let Some(c) = s.class.get(&class) else {
                return self.need(
                    false,
                    "survival.class",
                    format!("class {class:?} is missing"),
                    "A, B, C, D and T",
                );
            };
            self.class(&path, c, s.exponent_spread)?;
        }
        self.between("id.floor", f.id.floor, 0.0, 0.1)?;
        self.between("id.trust", f.id.trust, 0.5, 1.0)?;
        for (name, feature) in &f.id.feature {
            let path = format!("id.feature.{name}");
            self.between(&path, feature.reliability, 0.0, 1.0)?;
            let distinct: BTreeSet<&String> = feature.states.iter().collect();
            self.need(
                distinct.len() == feature.states.len() && distinct.len() > 1,
                &path,
                "states stand twice or are missing",
                "two or more different states",
            )?;
        }
        Ok(())
    }

    fn class(&self, path: &str, c: &Class, spread: f64) -> Result<()> {
        for w in [c.w0, c.wf, c.wa] {
            self.between(path, w, 0.01, 1.0)?;
        }
        let sum = c.w0 + c.wf + c.wa;
        self.need((sum - 1.0).abs() < 1e-9, path, format!("the weights sum to {sum}"), "w0 + wf + wa = 1")?;
        self.need(!c.name.is_empty(), path, "the class has no name", "a name")?;
        self.between(path, c.p, spread + 0.1, 3.0)?;
        self.between(path, c.q10, 1.0, 5.0)
    }

    fn row(&self, at: &str, r: &Row, f: &File) -> Result<()> {
        let key = |k: &str| format!("{at}.{k}");
        let handle = !r.id.is_empty()
            && r.id.chars().all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '_');
        self.need(
            handle,
            &key("id"),
            format!("`{}` is no handle", r.id),
            "lower-case letters, digits and _",
        )?;
        self.need(
            !r.name.is_empty() && !r.scientific.is_empty(),
            &key("name"),
            "the name is empty",
            "a name",
        )?;
        self.need(!r.law.is_empty(), &key("law"), "no law code", "the code of the rule packs")?;
        self.between(&key("max_length"), r.max_length.cm, 10.0, 800.0)?;
        if let Some(m) = &r.max_mass {
            self.between(&key("max_mass"), m.kg, 0.1, 3000.0)?;
        }
        if let Some(m) = &r.maturity {
            for [a, b] in [m.male_cm, m.female_cm] {
                self.between(&key("maturity"), a, 5.0, b)?;
                self.between(&key("maturity"), b, a, 800.0)?;
                let fits = m.kind != r.max_length.kind || b <= r.max_length.cm;
                self.need(
                    fits,
                    &key("maturity"),
                    format!("mature at {b} cm, above the longest known"),
                    "at most max_length",
                )?;
            }
        }
        self.water(&key("temperature_c"), &r.temperature_c)?;
        self.lines(at, r, f)?;
        self.survival(at, r)?;
        self.marks(at, r, f)
    }

    /// Conversions and weight lines.
    fn lines(&self, at: &str, r: &Row, f: &File) -> Result<()> {
        let mut preferred: BTreeSet<Pair> = BTreeSet::new();
        for (i, c) in r.conv.iter().enumerate() {
            let path = format!("{at}.conv[{i}]");
            self.source(&path, &c.source, f)?;
            self.need(c.from != c.to, &path, "it converts a length to itself", "two kinds of length")?;
            self.between(&path, c.slope, 0.3, 3.0)?;
            self.between(&path, c.intercept_cm, -60.0, 60.0)?;
            if c.preferred {
                self.need(
                    c.usable,
                    &path,
                    "a line that is not usable is preferred",
                    "usable and preferred, or neither",
                )?;
                let pair = Pair::from([c.from, c.to]);
                self.need(
                    preferred.insert(pair),
                    &path,
                    "two lines of one pair are preferred",
                    "one preferred line a pair",
                )?;
            }
        }
        for (i, l) in r.lw.iter().enumerate() {
            let path = format!("{at}.lw[{i}]");
            self.source(&path, &l.source, f)?;
            self.between(&path, l.a, 1e-8, 1e-2)?;
            self.between(&path, l.b, 2.0, 4.0)?;
        }
        let lines = r.lw.iter().filter(|l| l.preferred).count();
        let one_way = (lines == 1) != r.mass_fallback.is_some();
        self.need(
            one_way,
            &format!("{at}.mass_fallback"),
            "the mass has no line or two",
            "one preferred lw, or mass_fallback = slim, stout or ask",
        )?;
        if r.mass_fallback.is_some_and(|x| x != FallbackName::Ask) {
            let total = r.max_length.kind == LengthKind::Total;
            self.need(total, &format!("{at}.mass_fallback"), "a fallback line wants total length", "ask")?;
        }
        Ok(())
    }

    fn survival(&self, at: &str, r: &Row) -> Result<()> {
        let key = |k: &str| format!("{at}.survival.{k}");
        let s = &r.survival;
        self.between(&key("f_ref"), s.f_ref, 1.0, 120.0)?;
        self.between(&key("a_ref"), s.a_ref, 0.5, 30.0)?;
        self.between(&key("t_ref"), s.t_ref, -2.0, 40.0)?;
        self.triple(&key("prm_at_reference"), &s.prm_at_reference, 0.0, 0.99)?;
        self.triple(&key("k"), &s.k, 1e-6, 20.0)?;
        self.mix(&key("hook_mix"), &s.hook_mix)?;
        for (name, h) in [
            ("h_hook_low", &s.h_hook_low),
            ("h_hook_central", &s.h_hook_central),
            ("h_hook_high", &s.h_hook_high),
        ] {
            let path = key(name);
            self.between(&path, h.gill, 0.0, 20.0)?;
            let order = h.jaw == 0.0 && h.jaw < h.foul && h.foul <= h.deep && h.deep <= h.gill;
            self.need(
                order,
                &path,
                "the places of the hook are out of order",
                "jaw 0 < foul <= deep <= gill",
            )?;
        }
        let levels = [&s.h_hook_low, &s.h_hook_central, &s.h_hook_high];
        let rising = levels
            .windows(2)
            .all(|w| matches!(w, [a, b] if a.foul <= b.foul && a.deep <= b.deep && a.gill <= b.gill));
        self.need(
            rising,
            &key("h_hook_central"),
            "the levels of the hook hazards are out of order",
            "low <= central <= high",
        )?;
        Ok(())
    }

    fn marks(&self, at: &str, r: &Row, f: &File) -> Result<()> {
        for (name, states) in &r.marks {
            let path = format!("{at}.marks.{name}");
            let Some(feature) = f.id.feature.get(name) else {
                return self.need(
                    false,
                    &path,
                    format!("no feature `{name}`"),
                    "a feature under [id.feature]",
                );
            };
            for (state, p) in states {
                self.need(
                    feature.states.contains(state),
                    &path,
                    format!("`{name}` has no state `{state}`"),
                    &feature.states.join(", "),
                )?;
                self.between(&path, *p, 0.0, 1.0)?;
            }
            let sum: f64 = states.values().sum();
            self.need(sum <= 1.0 + 1e-9, &path, format!("the probabilities sum to {sum}"), "at most 1")?;
        }
        Ok(())
    }

    fn source(&self, path: &str, source: &str, f: &File) -> Result<()> {
        self.need(
            f.source.contains_key(source),
            path,
            format!("no source `{source}`"),
            "a handle under [source]",
        )
    }
}
