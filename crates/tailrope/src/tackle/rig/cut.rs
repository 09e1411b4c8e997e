//! The cut list: what to cut from each material, which sleeves, how heavy and dear the rig is, in which order it is
//! put together.
//!
//! Model: a cut is the section between its joints, plus what the joint at each end takes
//! (`fixed + diameters x diameter`, an estimate by kind of joint), plus what is trimmed off. A sleeve is chosen by
//! the measured diameter of the line that passes it, never by the packet alone; copper on wire and cable in salt
//! water, not aluminium (S44); both ends flared on nylon (S32). One joint of each sleeved material is made to be
//! pulled to destruction (S31): it is in the list. Mass in air from densities. Limit: what nobody measured stays
//! unknown and is named.

use super::{Rig, Section, SectionRole};
use crate::facts::{Grade, Known};
use crate::quantity::{Force, Length, Mass};
use crate::tackle::joint::{Eye, SleeveMetal};
use crate::tackle::path::{as_m, as_mm, known_si};
use crate::tackle::tables::Tables;
use crate::tackle::{Joint, JointKind, Material, PriceBand};
use serde::{Serialize, Serializer};

/// Sleeves of the piece that is pulled to destruction: one at each end, or nothing holds it.
const TEST_SLEEVES: u32 = 2;

/// One cut.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Cut {
    /// Which section: its place in the rig, the main line first.
    pub section: usize,
    /// What it is for.
    pub role: SectionRole,
    /// Material.
    pub material: Known<Material>,
    /// Label.
    #[serde(rename = "strength_n", serialize_with = "known_si")]
    pub strength: Known<Force>,
    /// Diameter, measured or by label.
    #[serde(rename = "diameter_m", serialize_with = "known_si")]
    pub diameter: Known<Length>,
    /// Length between its joints.
    #[serde(rename = "between_m", serialize_with = "known_si")]
    pub between: Known<Length>,
    /// Joint at the upper end, and what it takes.
    pub top: JointKind,
    /// What that takes.
    #[serde(rename = "top_takes_m", serialize_with = "known_si")]
    pub top_takes: Known<Length>,
    /// Joint at the lower end.
    pub bottom: JointKind,
    /// What that takes.
    #[serde(rename = "bottom_takes_m", serialize_with = "known_si")]
    pub bottom_takes: Known<Length>,
    /// Trimmed off.
    #[serde(rename = "trim_m", serialize_with = "as_m")]
    pub trim: Length,
    /// Length to cut.
    #[serde(rename = "cut_m", serialize_with = "known_si")]
    pub cut: Known<Length>,
}

/// Sleeves of one size and metal.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SleeveLine {
    /// Inside of a bore; unknown where no sleeve of the pack passes, or nobody knows the diameter.
    #[serde(rename = "inside_m", serialize_with = "known_si")]
    pub inside: Known<Length>,
    /// Diameter that passes it twice.
    #[serde(rename = "passes_m", serialize_with = "known_si")]
    pub passes: Known<Length>,
    /// Whether that diameter was measured by the crew.
    pub measured: bool,
    /// Sleeve that the packet's label would give, where it would not pass.
    #[serde(rename = "label_inside_m", skip_serializing_if = "Option::is_none", serialize_with = "some_m")]
    pub label_would_not_pass: Option<Length>,
    /// Metal to take.
    pub metal: SleeveMetal,
    /// Whether the ends stay flared.
    pub flare: bool,
    /// How many, those of the piece that is pulled to destruction included.
    pub count: u32,
}

#[allow(clippy::ref_option)] // serde hands over references
fn some_m<S: Serializer>(l: &Option<Length>, s: S) -> Result<S::Ok, S::Error> {
    match l {
        Some(l) => as_m(l, s),
        None => s.serialize_none(),
    }
}

/// The whole list.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct CutList {
    /// Cuts, the section at the main line first.
    pub cuts: Vec<Cut>,
    /// Sleeves.
    pub sleeves: Vec<SleeveLine>,
    /// Swivels, snaps and shackles.
    pub connectors: u32,
    /// Thimbles or chafe tubes.
    pub thimbles: u32,
    /// Hooks; unknown if nobody counted them.
    pub hooks: Known<u8>,
    /// Mass in air, all of it; unknown while a part's is.
    #[serde(rename = "mass_kg", serialize_with = "known_si")]
    pub mass: Known<Mass>,
    /// Mass of what is known: the true one is at least this.
    #[serde(rename = "mass_of_known_kg", serialize_with = "as_kg")]
    pub mass_of_known: Mass,
    /// How far that can be trusted.
    pub mass_grade: Grade,
    /// Parts of unknown mass.
    pub mass_unknown: Vec<String>,
    /// What the parts cost new, as their share of what is sold; `None` if the pack has no price of one.
    pub price: Option<PriceBand>,
    /// Its grade: never a price of today.
    pub price_grade: Grade,
    /// Currency of it.
    pub currency: String,
    /// Line trimmed off and pulled to destruction.
    #[serde(rename = "waste_m", serialize_with = "as_m")]
    pub waste: Length,
    /// Least bare diameter a hand may hold; for the page.
    #[serde(rename = "hand_least_mm", serialize_with = "as_mm")]
    pub hand_least: Length,
    /// Sentences to heed before cutting.
    pub heed: Vec<String>,
    /// Order of assembly.
    pub steps: Vec<String>,
}

#[allow(clippy::trivially_copy_pass_by_ref)] // serde hands over references
fn as_kg<S: Serializer>(m: &Mass, s: S) -> Result<S::Ok, S::Error> {
    s.serialize_f64(m.kg())
}

/// The joint that an end is made with: its own, else the neighbour's where it suits both, else the usual one of the
/// material.
fn kind_at(own: &Joint, this: &Section, other: Option<(&Joint, &Section)>) -> JointKind {
    if let Known::Known(k) = own.kind {
        return k;
    }
    let wire = |s: &Section| s.material == Known::Known(Material::SingleStrand);
    match (this.material, other) {
        (Known::Known(Material::SingleStrand), _) => JointKind::Haywire,
        (Known::Known(Material::Cable), _) => JointKind::Crimp,
        (_, Some((Joint { kind: Known::Known(k), .. }, s))) if !wire(s) => *k,
        (m, _) => JointKind::usual(m, Known::Unknown),
    }
}

impl Rig {
    /// Joints at the two ends of a section.
    pub(super) fn ends(&self, i: usize) -> Option<(JointKind, JointKind)> {
        let s = self.sections.get(i)?;
        let above = i.checked_sub(1).and_then(|a| self.sections.get(a));
        let bare = |c: &Section| c.connector.is_none();
        let top = kind_at(&s.top, s, above.filter(|_| bare(s)).map(|a| (&a.bottom, a)));
        let below = self.sections.get(i + 1);
        let bottom = kind_at(&s.bottom, s, below.filter(|b| bare(b)).map(|b| (&b.top, b)));
        Some((top, bottom))
    }

    /// What to cut, with what, and how heavy and dear it is.
    pub fn cut_list(&self, tables: &Tables) -> CutList {
        let mut cuts = Vec::new();
        for (i, s) in self.sections.iter().enumerate() {
            let Some((top, bottom)) = self.ends(i) else { continue };
            let diameter = s.diameter(tables);
            let takes = |kind: JointKind| -> Known<Length> {
                let row = &tables.joint(kind).takes;
                diameter.get().map(|d| row.fixed + d * row.diameters).into()
            };
            let (top_takes, bottom_takes) = (takes(top), takes(bottom));
            let trim = tables.rig.trim.value * 2.0;
            let cut = match (s.length, top_takes, bottom_takes) {
                (Known::Known(l), Known::Known(a), Known::Known(b)) => Known::Known(l + a + b + trim),
                _ => Known::Unknown,
            };
            cuts.push(Cut {
                section: i,
                role: s.role,
                material: s.material,
                strength: s.strength,
                diameter,
                between: s.length,
                top,
                top_takes,
                bottom,
                bottom_takes,
                trim,
                cut,
            });
        }
        let sleeves = self.sleeves(&cuts, tables);
        let tests = sleeves.len();
        let trims: Length = cuts.iter().map(|c| c.trim).sum();
        #[allow(clippy::cast_precision_loss)] // a dozen at most
        let waste = trims + tables.rig.test_piece.value * tests as f64;
        let mut list = CutList {
            connectors: u32::try_from(self.sections.iter().filter(|s| s.connector.is_some()).count())
                .unwrap_or(u32::MAX),
            thimbles: self.eyes(),
            hooks: self.hook.count,
            mass: Known::Unknown,
            mass_of_known: Mass::ZERO,
            mass_grade: Grade::Measured,
            mass_unknown: Vec::new(),
            price: None,
            price_grade: tables.prices.grade,
            currency: tables.prices.currency.clone(),
            waste,
            hand_least: tables.rig.hand_least.value,
            heed: Vec::new(),
            steps: Vec::new(),
            cuts,
            sleeves,
        };
        self.weigh(&mut list, tables);
        list.price = self.price(&list, tables);
        list.heed = self.heed(&list, tables);
        list.steps = self.steps(&list);
        list
    }

    fn eyes(&self) -> u32 {
        let guarded = |j: &Joint| u32::from(matches!(j.eye, Known::Known(Eye::Thimble | Eye::ChafeTube)));
        self.sections.iter().map(|s| guarded(&s.top) + guarded(&s.bottom)).sum()
    }

    fn sleeves(&self, cuts: &[Cut], tables: &Tables) -> Vec<SleeveLine> {
        let mut all: Vec<SleeveLine> = Vec::new();
        for (c, s) in cuts.iter().zip(&self.sections) {
            let is = |k| matches!(k, JointKind::Crimp | JointKind::CrimpBad);
            let ends = u32::from(is(c.top)) + u32::from(is(c.bottom));
            if ends == 0 {
                continue;
            }
            let passing = c.diameter.get().and_then(|d| tables.sleeve_passing(d));
            let labelled = s.strength.get().and_then(|f| tables.sleeve_for(f));
            let nylon = s.material.get().is_some_and(Material::is_mono);
            let line = SleeveLine {
                inside: passing.map(|r| r.inside).into(),
                passes: c.diameter,
                measured: !s.diameter.is_unknown(),
                label_would_not_pass: labelled
                    .filter(|_| nylon)
                    .map(|r| r.inside)
                    .filter(|l| c.diameter.get().is_some_and(|d| d > *l)),
                metal: SleeveMetal::Copper,
                flare: nylon,
                count: ends + TEST_SLEEVES,
            };
            match all
                .iter_mut()
                .find(|o| o.inside == line.inside && o.passes == line.passes && o.flare == line.flare)
            {
                Some(o) => o.count += ends,
                None => all.push(line),
            }
        }
        all
    }

    fn weigh(&self, list: &mut CutList, tables: &Tables) {
        let making = &tables.rig;
        let mut add = |name: String, mass: Known<(Mass, Grade)>| match mass {
            Known::Known((m, g)) => {
                list.mass_of_known = list.mass_of_known + m;
                list.mass_grade = list.mass_grade.max(g);
            }
            Known::Unknown => list.mass_unknown.push(name),
        };
        for (c, s) in list.cuts.iter().zip(&self.sections) {
            // What stays in the rig: the cut less what was trimmed.
            let mass = match c.cut {
                Known::Known(l) => s.mass_of(l - c.trim, tables),
                Known::Unknown => Known::Unknown,
            };
            add(s.role.word().to_owned(), mass);
            if let Some(con) = &s.connector {
                let mass = con.mass(making).get().map(|m| (m.value.central, m.grade));
                add(format!("{} above the {}", con.word(), s.role.word()), mass.into());
            }
        }
        for s in &list.sleeves {
            let mass = s.inside.get().map(|inside| {
                let wall = making.sleeve_wall.value.central;
                let outer = crate::tackle::material::area_m2(inside + wall * 2.0);
                let ring = outer - crate::tackle::material::area_m2(inside);
                let long = inside.m() * making.sleeve_length_in_bores.value.central;
                let one = making.copper_density.value.kg_m3() * 2.0 * ring * long;
                (Mass::of_kg(one * f64::from(s.count.saturating_sub(TEST_SLEEVES))), Grade::Estimate)
            });
            add("sleeves".to_owned(), mass.into());
        }
        let hooks = self.hook.count.get().map(f64::from);
        let hook = match (hooks, self.hook.weight(tables)) {
            (Some(n), Known::Known(m)) => Known::Known((m.value.central * n, m.grade)),
            _ => Known::Unknown,
        };
        add("hook".to_owned(), hook);
        if let Some(s) = self.sinker {
            add("sinker".to_owned(), s.mass.get().map(|m| (m, Grade::Measured)).into());
        }
        if list.mass_unknown.is_empty() {
            list.mass = Known::Known(list.mass_of_known);
        }
    }

    fn price(&self, list: &CutList, tables: &Tables) -> Option<PriceBand> {
        let p = &tables.prices;
        let mut sum = PriceBand::ZERO;
        for c in &list.cuts {
            let label = match (c.strength, c.material, c.diameter) {
                (Known::Known(f), ..) => f,
                (_, Known::Known(m), Known::Known(d)) => tables.strength_of(m, d).value.central,
                _ => return None,
            };
            sum = sum + p.line(c.material.get()?, label, c.cut.get()?)?;
        }
        let sleeves: u32 = list.sleeves.iter().map(|s| s.count).sum();
        sum = sum + p.pieces("sleeves", sleeves)? + p.pieces("swivel", list.connectors)?;
        sum = sum + p.pieces("thimbles", list.thimbles)?;
        sum = sum + p.pieces("hook", u32::from(list.hooks.get()?))?;
        match self.sinker {
            None => Some(sum),
            Some(s) => {
                let item = if s.wired == Known::Known(true) { "wired-sinker" } else { "sinker" };
                Some(sum + p.packet(item)?)
            }
        }
    }

    /// What speaks against the sleeves and sections as described.
    fn heed(&self, list: &CutList, tables: &Tables) -> Vec<String> {
        let mut heed = Vec::new();
        for s in &list.sleeves {
            match (s.inside, s.passes) {
                (Known::Known(_), Known::Known(d)) => {
                    if let Some(label) = s.label_would_not_pass {
                        heed.push(format!(
                            "The packet's sleeve of {:.1} mm does not pass this line of {:.2} mm: the measured diameter counts. Never force or heat it.",
                            label.mm(),
                            d.mm()
                        ));
                    }
                    if !s.measured {
                        heed.push(format!(
                            "The sleeve goes by a diameter of {:.2} mm that only the label gives: measure the line with a caliper, then take the smallest sleeve that it passes twice.",
                            d.mm()
                        ));
                    }
                }
                (_, Known::Known(d)) => heed.push(format!(
                    "No sleeve of the pack passes a line of {:.2} mm: take the smallest that it passes twice, and pull one to destruction.",
                    d.mm()
                )),
                (_, Known::Unknown) => heed.push(
                    "Nobody knows the diameter of a sleeved section: measure it before a sleeve is chosen.".to_owned(),
                ),
            }
        }
        for s in &self.sections {
            let metal = s.material.get().is_some_and(Material::is_metal);
            let nylon = s.material.get().is_some_and(Material::is_mono);
            for (end, joint) in [("upper", &s.top), ("lower", &s.bottom)] {
                let Some(sleeve) = joint.sleeve else { continue };
                if metal && sleeve.metal == Known::Known(SleeveMetal::Aluminium) {
                    heed.push(format!(
                        "Aluminium at the {end} end of the {}: on stainless it corrodes in salt water. Take copper.",
                        s.role.word()
                    ));
                }
                if nylon && sleeve.flared == Known::Known(false) {
                    heed.push(format!(
                        "The sleeve at the {end} end of the {} is pressed to its edges: leave both ends flared, or its edge cuts the nylon.",
                        s.role.word()
                    ));
                }
                if let (Known::Known(bore), Known::Known(d)) = (sleeve.inside, s.diameter(tables))
                    && bore < d
                {
                    heed.push(format!(
                        "A sleeve of {:.2} mm at the {end} end of the {} does not pass its {:.2} mm: take the next size up.",
                        bore.mm(),
                        s.role.word(),
                        d.mm()
                    ));
                }
            }
            if s.top.kind == Known::Known(JointKind::KinkedWire)
                || s.bottom.kind == Known::Known(JointKind::KinkedWire)
            {
                heed.push(format!("The {} is kinked: cut the kink out and remake it.", s.role.word()));
            }
        }
        heed
    }

    fn steps(&self, list: &CutList) -> Vec<String> {
        let mut steps = Vec::new();
        if !list.cuts.is_empty() {
            steps.push(
                "Cut every piece to its length, ends square; measure each diameter with a caliper."
                    .to_owned(),
            );
        }
        if !list.sleeves.is_empty() {
            steps.push(
                "Make one test piece of each sleeved material, a sleeve at each end, and pull it to destruction, wet; write its break into the rig file.".to_owned(),
            );
        }
        let count = self.hook.count.get().unwrap_or(1);
        // From the hook up: what is finished hangs out of the way.
        for c in list.cuts.iter().rev() {
            let last = c.section + 1 == self.sections.len();
            let to_below = if last {
                if count > 1 { format!("to the {count} hooks") } else { "to the hook".to_owned() }
            } else {
                "to what hangs below".to_owned()
            };
            let end = |k: JointKind| {
                let flare = c.material.get().is_some_and(Material::is_mono)
                    && matches!(k, JointKind::Crimp | JointKind::CrimpBad);
                let how = match c.material {
                    _ if flare => ", both ends of the sleeve flared",
                    Known::Known(Material::Cable) if k == JointKind::Crimp => ", copper sleeve",
                    _ => "",
                };
                format!("{}{how}", k.word())
            };
            steps.push(format!("{}: lower end {to_below} by {}.", capital(c.role.word()), end(c.bottom)));
            let above = self.sections.get(c.section).and_then(|s| s.connector.as_ref());
            let above = above.map_or_else(
                || {
                    if c.section == 0 {
                        "for the main line".to_owned()
                    } else {
                        "to the section above".to_owned()
                    }
                },
                |con| format!("through the {}", con.word()),
            );
            steps.push(format!("{}: upper end {above} by {}.", capital(c.role.word()), end(c.top)));
        }
        if let Some(s) = self.sinker {
            let hang = s.hang.get().map_or("hang it so that it can part or slide", super::SinkerHang::words);
            steps.push(format!("Sinker last: {hang}."));
        }
        steps.push(
            "Pull the whole rig once to the drag that it is to bear, face turned away; feel every joint."
                .to_owned(),
        );
        steps
    }
}

/// With a capital letter.
fn capital(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |c| c.to_uppercase().chain(letters).collect())
}
