//! Contradictions in what a crew says of its tackle, told at once.
//!
//! What no spool, reel or line can be (a topshot longer than the spool, a share above one) is refused by the
//! checks of the parts. Here stands what each part could be alone and the whole cannot or hardly can: a drag
//! above the reel's greatest, a rod built for far less, a leader weaker than the line above it. Each names the
//! field. It is *impossible* where the two cannot both be true or the tackle cannot do what is asked, else
//! *doubtful*. Source: the figures of the pack that each one compares.

use super::label::SpoolBand;
use super::label::room;
use super::line::LineRole;
use super::tables::Tables;
use super::{Outfit, Rig, ScalePlace};
use crate::facts::Known;
use crate::quantity::{Force, Units, significant};
use serde::Serialize;

/// One contradiction.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Clash {
    /// Field of the outfit or the rig (`outfit.drag.fight`, `rig.sections[0].strength`).
    pub field: String,
    /// What contradicts what, in one sentence.
    pub sentence: String,
    /// What to do.
    pub remedy: String,
    /// Whether it cannot be; else it is merely doubtful.
    pub impossible: bool,
}

fn clash(impossible: bool, field: &str, sentence: String, remedy: &str) -> Clash {
    Clash { field: field.to_owned(), sentence, remedy: remedy.to_owned(), impossible }
}

impl Outfit {
    /// Contradictions of this outfit, and of the rig on it, in `units`. Unknown parts contradict nothing.
    pub fn clashes(&self, rig: Option<&Rig>, tables: &Tables, units: Units) -> Vec<Clash> {
        let mut all = Vec::new();
        self.reel_clashes(tables, units, &mut all);
        self.drag_clashes(tables, units, &mut all);
        self.line_clashes(tables, units, &mut all);
        if let Some(rig) = rig {
            self.rig_clashes(rig, tables, units, &mut all);
        }
        all
    }

    /// What the reel's measures, label, class and kind say of each other.
    fn reel_clashes(&self, tables: &Tables, u: Units, all: &mut Vec<Clash>) {
        let r = &self.reel;
        let class = r.class.as_ref().and_then(|c| tables.reel(c).ok());
        let kind = r.kind.get().or(class.map(|c| c.kind)).into();
        if let (Ok(label), Known::Known(spool)) = (SpoolBand::of_label(&r.label, kind, tables), r.spool)
            && !(room(&label.least)..=room(&label.most)).contains(&room(&spool))
        {
            all.push(clash(
                true,
                "outfit.reel.label",
                format!(
                    "the measures of the spool give {} times the room that its label says",
                    significant(room(&spool) / room(&label.central), 3)
                ),
                "measure rim, arbor and width again as radius and in millimetres; read the label again",
            ));
        }
        if let Some(class) = class {
            let label = SpoolBand::of_label(&r.label, Known::Known(class.kind), tables);
            let model = tables.label.class.value;
            if let Ok(label) = label
                && (room(&label.most) < room(&class.spool) * model.low
                    || room(&label.least) > room(&class.spool) * model.high)
            {
                all.push(clash(
                    false,
                    "outfit.reel.class",
                    format!(
                        "the label gives {} times the room of a reel of class {}",
                        significant(room(&label.central) / room(&class.spool), 3),
                        class.class
                    ),
                    "leave out the class, or measure the spool",
                ));
            }
            if r.kind.get().is_some_and(|k| k != class.kind) {
                all.push(clash(
                    false,
                    "outfit.reel.kind",
                    format!(
                        "class {} is one of {}, and the kind says otherwise",
                        class.class,
                        class.kind.words()
                    ),
                    "correct class or kind",
                ));
            }
            if let (Known::Known(f), Known::Known(of_class)) =
                (r.max_drag.get().or(r.label_drag.get()).into(), Known::Known(class.max_drag_full.value))
                && f > of_class.high * 1.5
            {
                all.push(clash(
                    false,
                    if r.max_drag.is_unknown() { "outfit.reel.label_drag" } else { "outfit.reel.max_drag" },
                    format!(
                        "a greatest drag of {} is far above what reels of class {} give ({} at most)",
                        u.force(f),
                        class.class,
                        u.force(of_class.high)
                    ),
                    "pull it with a scale, or correct the unit",
                ));
            }
        }
        if let [first, .., last] = r.gears.as_slice()
            && first < last
        {
            all.push(clash(
                false,
                "outfit.reel.gears",
                format!("the gears rise from {first} to {last}: the fastest is asked for first"),
                "write the fast gear first: turns of the spool for one of the handle",
            ));
        }
    }

    /// What the drag wanted says of reel, rod and line.
    fn drag_clashes(&self, tables: &Tables, u: Units, all: &mut Vec<Clash>) {
        let guides =
            self.line.iter().map(|p| self.guides.factor(tables, p.material).value).fold(1.0, f64::max);
        let at_reel = |f: Force| if self.drag.at == ScalePlace::Tip { f / guides } else { f };
        let strike = self.drag.strike_force().get();
        let wanted = [
            ("outfit.drag.fight", self.drag.fight.get()),
            ("outfit.drag.strike", strike),
            ("outfit.drag.soak", self.drag.soak.get()),
        ];
        let greatest = self.reel.max_drag(tables).get();
        let weakest_line = self
            .line
            .iter()
            .filter_map(|p| p.strength(tables).get())
            .map(|s| s.band.central)
            .min_by(|a, b| a.n().total_cmp(&b.n()));
        for (field, drag) in wanted {
            let Some(drag) = drag else { continue };
            let off_reel = at_reel(drag);
            if let Some(most) = &greatest
                && off_reel > most.value.central
            {
                all.push(clash(
                    off_reel > most.value.high,
                    field,
                    format!(
                        "{} off the reel are wanted, and the reel gives {}{} ({})",
                        u.force(off_reel),
                        u.force(most.value.central),
                        if most.value.high > most.value.central {
                            format!(", {} at most", u.force(most.value.high))
                        } else {
                            String::new()
                        },
                        most.grade.word()
                    ),
                    "less drag, or another reel; what it truly gives is read with a scale",
                ));
            }
            if let Some(line) = weakest_line
                && off_reel * guides >= line
            {
                all.push(clash(
                    true,
                    field,
                    format!(
                        "the drag is {} times what the line bears ({}): a share above 1",
                        significant(off_reel * guides / line, 3),
                        u.force(line)
                    ),
                    "a quarter to a third of the line's strength; check the units",
                ));
            }
            if let Known::Known(class) = self.rod.line_class {
                let share = off_reel * guides / class;
                if share > tables.rod.working_share.value.high {
                    all.push(clash(
                        share >= 1.0,
                        "outfit.rod.line_class",
                        format!(
                            "the drag is {} of the rod's line class ({}); rods work at a quarter to {}",
                            significant(share, 2),
                            u.force(class),
                            significant(tables.rod.working_share.value.high, 2)
                        ),
                        "less drag, or a rod built for more",
                    ));
                }
            }
        }
        if let (Known::Known(fight), Some(strike)) = (self.drag.fight, strike)
            && strike > fight * 1.000_001
        {
            all.push(clash(
                false,
                "outfit.drag.strike",
                format!(
                    "strike is {} times the drag of the fight: a share above 1",
                    significant(strike / fight, 3)
                ),
                "strike is the lighter setting: a share such as 0.75",
            ));
        }
    }

    /// What the pieces of line say of each other.
    fn line_clashes(&self, tables: &Tables, u: Units, all: &mut Vec<Clash>) {
        let main =
            self.line.iter().filter(|p| p.role() == LineRole::Main).find_map(|p| p.diameter(tables).get());
        for (i, p) in self.line.iter().enumerate() {
            if let (LineRole::Backing, Some(main), Known::Known(d)) = (p.role(), &main, p.diameter(tables))
                && d.value.central > main.value.central
            {
                all.push(clash(
                    false,
                    &format!("outfit.line[{i}].diameter"),
                    format!(
                        "the backing ({}) is thicker than the main line ({}): it only takes room",
                        u.diameter(d.value.central),
                        u.diameter(main.value.central)
                    ),
                    "thin backing, or more main line",
                ));
            }
            if let (Known::Known(d), Known::Known(m), Known::Known(f)) = (p.diameter, p.material, p.strength)
                && let Some(usual) = tables.diameter_of(m, f)
                && !(0.6..=1.67).contains(&(d / usual.value.central))
            {
                all.push(clash(
                    false,
                    &format!("outfit.line[{i}].diameter"),
                    format!(
                        "{} of {} is {} times as thick as the trade's ({})",
                        u.force(f),
                        m.word(),
                        significant(d / usual.value.central, 2),
                        u.diameter(usual.value.central)
                    ),
                    "measure the diameter over ten tight turns, and read the label again",
                ));
            }
        }
        for (i, w) in self.line.windows(2).enumerate() {
            let [inner, outer] = w else { continue };
            if outer.role() != LineRole::Topshot {
                continue;
            }
            if let (Known::Known(a), Known::Known(b)) = (inner.strength(tables), outer.strength(tables))
                && b.band.central < a.band.central * 0.5
            {
                all.push(clash(
                    false,
                    &format!("outfit.line[{}].strength", i + 1),
                    format!(
                        "the topshot bears {}, less than half of the line behind it ({})",
                        u.force(b.band.central),
                        u.force(a.band.central)
                    ),
                    "a topshot is the thicker piece; check the order: the first on the arbor comes first",
                ));
            }
        }
    }

    /// A leader weaker than the line above it: it goes first, near the fish or in a hand.
    fn rig_clashes(&self, rig: &Rig, tables: &Tables, u: Units, all: &mut Vec<Clash>) {
        let line = self
            .line
            .iter()
            .filter_map(|p| p.strength(tables).get().map(|s| (p.title().to_owned(), s.band.central)))
            .min_by(|a, b| a.1.n().total_cmp(&b.1.n()));
        let Some((name, line)) = line else { return };
        let weak = rig
            .sections
            .iter()
            .enumerate()
            .filter_map(|(i, s)| s.stock().strength(tables).get().map(|x| (i, s, x.band.central)))
            .min_by(|a, b| a.2.n().total_cmp(&b.2.n()));
        if let Some((i, s, strength)) = weak
            && strength < line
        {
            all.push(clash(
                false,
                &format!("rig.sections[{i}].strength"),
                format!(
                    "the {} bears {}, less than the {name} ({}): the leader is the weakest, where hands are on it",
                    s.role.word(),
                    u.force(strength),
                    u.force(line)
                ),
                "a leader stronger than the line, so that what parts is far from hands and short on the fish",
            ));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::Length;
    use crate::tackle::path::demo::demo;
    use crate::tackle::tables::tests::shipped;
    use crate::tackle::{LabelCapacity, Material, ReelKind, ShareOrForce, Spool};

    fn of(change: impl Fn(&mut Outfit, &mut Rig)) -> Vec<Clash> {
        let (mut outfit, mut rig) = demo();
        change(&mut outfit, &mut rig);
        outfit.check().unwrap();
        outfit.clashes(Some(&rig), &shipped(), Units::Si)
    }
    fn label(m: f64, mm: f64) -> LabelCapacity {
        LabelCapacity {
            length: Length::of_m(m),
            diameter: Known::Known(Length::of_mm(mm)),
            strength: Known::Unknown,
            material: Known::Unknown,
        }
    }
    fn only(clashes: &[Clash], field: &str, impossible: bool) {
        assert_eq!(clashes.len(), 1, "{clashes:#?}");
        assert_eq!((clashes[0].field.as_str(), clashes[0].impossible), (field, impossible), "{clashes:#?}");
        assert!(!clashes[0].remedy.is_empty());
    }

    #[test]
    fn sound_tackle_contradicts_nothing() {
        assert_eq!(of(|_, _| ()), vec![]);
        assert_eq!(of(|o, _| o.drag.fight = Known::Known(Force::of_lbf(28.0))), vec![]);
    }

    #[test]
    fn each_contradiction_names_its_field() {
        let lb = Force::of_lbf;
        let fight = |f| move |o: &mut Outfit, _: &mut Rig| o.drag.fight = Known::Known(lb(f));
        // Class 80W: 60 to 100 lbf at full.
        only(&of(fight(90.0)), "outfit.drag.fight", false);
        only(&of(fight(105.0)), "outfit.drag.fight", true);
        only(
            &of(|o, _| {
                o.reel.label_drag = Known::Known(lb(20.0));
                o.drag.fight = Known::Known(lb(28.0));
            }),
            "outfit.drag.fight",
            true,
        );
        only(
            &of(|o, _| {
                o.rod.line_class = Known::Known(lb(30.0));
                o.drag.fight = Known::Known(lb(20.0));
            }),
            "outfit.rod.line_class",
            false,
        );
        only(
            &of(|o, _| {
                o.drag.fight = Known::Known(lb(20.0));
                o.drag.strike = Known::Known(ShareOrForce::Share(1.2));
            }),
            "outfit.drag.strike",
            false,
        );
        only(&of(|o, _| o.reel.gears = vec![1.2, 2.5]), "outfit.reel.gears", false);
        only(&of(|o, _| o.reel.kind = Known::Known(ReelKind::Star)), "outfit.reel.kind", false);
        only(&of(|_, r| r.sections[0].strength = Known::Known(lb(100.0))), "rig.sections[0].strength", false);
        only(
            &of(|o, _| o.line[0].diameter = Known::Known(Length::of_mm(0.3))),
            "outfit.line[0].diameter",
            false,
        );
        only(&of(|o, _| o.line[1].strength = Known::Known(lb(80.0))), "outfit.line[1].strength", false);
    }

    #[test]
    fn a_label_is_held_against_measures_and_class() {
        let mm = Length::of_mm;
        let measured = |rim| {
            of(move |o, _| {
                o.reel.class = Known::Unknown;
                o.reel.kind = Known::Known(ReelKind::Lever);
                o.reel.spool = Known::Known(Spool::new(mm(rim), mm(19.0), mm(78.0)).unwrap());
                o.reel.label = vec![label(874.0, 0.9)];
            })
        };
        assert_eq!(measured(57.0), vec![]);
        // Written as width across instead of radius: four times the room.
        only(&measured(114.0), "outfit.reel.label", true);
        only(&of(|o, _| o.reel.label = vec![label(300.0, 0.5)]), "outfit.reel.class", false);
    }

    #[test]
    fn a_thick_backing_and_a_share_above_one_are_told() {
        let c = of(|o, _| {
            o.line[0].role = Known::Known(LineRole::Backing);
            o.line[0].material = Known::Known(Material::Nylon);
            o.line[0].strength = Known::Unknown;
            o.line[0].diameter = Known::Known(Length::of_mm(1.2));
            o.line[0].length = Length::of_m(300.0);
            o.line[1].role = Known::Known(LineRole::Main);
            o.line[1].diameter = Known::Known(Length::of_mm(1.0));
            o.line[1].strength = Known::Known(Force::of_lbf(100.0));
        });
        only(&c, "outfit.line[0].diameter", false);
        let c = of(|o, _| {
            o.reel.max_drag = Known::Known(Force::of_lbf(90.0));
            o.line[1].strength = Known::Known(Force::of_lbf(80.0));
            o.line[1].diameter = Known::Unknown;
            o.line.remove(0);
            o.drag.fight = Known::Known(Force::of_lbf(85.0));
        });
        only(&c, "outfit.drag.fight", true);
        assert!(c[0].sentence.contains("share above 1"), "{c:?}");
    }
}
