//! Finding a tide station: by place with what speaks against it, by name.
//!
//! There is no coastline here, so nobody but the crew with a chart can say that a gauge stands on the same water as
//! the beach. What the data can say is said: how far it is, whether its tide is of another kind, much smaller or
//! later than its neighbours' (as behind an inlet), and whether its very name speaks of water behind a coast. The
//! borders between "much" and "little" are ours.

use super::Found;
use super::station::HeightRule;
use super::stations::Stations;
use super::world::Card;
use crate::Result;
use crate::quantity::{Length, Place, Units, significant};

/// Stations compared with each other, at most.
const GROUP: usize = 12;
/// Stations this near to each other on one open coast have much the same tide.
const NEIGHBOURS_KM: f64 = 60.0;
/// A tide smaller than this share of a neighbour's is doubted.
const SMALL: f64 = 0.6;
/// A tide later than a neighbour's by more than this is doubted, h.
const LATE_H: f64 = 1.0;
/// A station without doubt is taken before a nearer doubtful one up to this far away, km.
const FIT_WITHIN_KM: f64 = 50.0;
/// The kind of tide is compared with this many of the nearest.
const KINDS: usize = 4;
/// Beyond this the times of a station may be off by hours, km.
const HOURS_FROM_KM: f64 = 100.0;
/// Most the sphere's distance differs from the ellipsoid's, as a share, rounded up.
const SPHERE: f64 = 0.007;

/// Words in a name that speak of water behind a coast.
const INNER: [&str; 41] = [
    "bahia", "baia", "baie", "basin", "bay", "bayou", "bridge", "canal", "channel", "cove", "creek", "dock",
    "docks", "estero", "estuary", "firth", "fjord", "fjorden", "haff", "harbor", "harbour", "icww", "inlet",
    "lagoon", "laguna", "lagune", "lake", "loch", "lock", "marina", "marsh", "narrows", "pass", "ria", "rio",
    "river", "riviere", "slough", "sound", "swamp", "waterway",
];

/// What speaks against a station.
#[derive(Clone, Debug, PartialEq)]
pub enum Doubt {
    /// Its name speaks of water behind a coast.
    InnerName(String),
    /// Its tide is much smaller than a neighbour's.
    Small {
        /// The neighbour.
        than: String,
        /// As a share of its.
        share: f64,
    },
    /// Its tide comes much later than a neighbour's.
    Late {
        /// The neighbour.
        than: String,
        /// By how much, h.
        hours: f64,
    },
    /// Its tide is of another kind than that of one of the nearest.
    OtherKind {
        /// Its own kind.
        own: &'static str,
        /// The other station.
        than: String,
        /// The other's kind.
        kind: &'static str,
    },
}

impl Doubt {
    /// Whether it looks as if the station stood behind an inlet.
    pub fn is_inner(&self) -> bool {
        !matches!(self, Self::OtherKind { .. })
    }

    /// The doubt in words.
    pub fn sentence(&self) -> String {
        match self {
            Self::InnerName(word) => format!("Its name (\"{word}\") speaks of water behind the coast."),
            Self::Small { than, share } => {
                format!("Its tide is only {share:.2} of that of {than}: perhaps it stands behind an inlet.")
            }
            Self::Late { than, hours } => {
                format!(
                    "Its tide comes {hours:.1} h after that of {than}: perhaps it stands behind an inlet."
                )
            }
            Self::OtherKind { own, than, kind } => {
                format!("Its tide is {own}, that of {than} is {kind}: look at both.")
            }
        }
    }
}

/// A station near a place.
#[derive(Clone, Debug, PartialEq)]
pub struct Near {
    /// The station.
    pub found: Found,
    /// Along the ellipsoid.
    pub distance: Length,
    /// Form number of the tide (of the reference, where it follows one).
    pub form: f64,
    /// The kind of tide in words.
    pub kind: &'static str,
    /// Range when its four greatest constituents agree; for comparing only.
    pub range: Length,
    /// What speaks against it.
    pub doubts: Vec<Doubt>,
}

impl Near {
    /// Nothing looks as if it stood behind an inlet.
    pub fn is_fit(&self) -> bool {
        !self.doubts.iter().any(Doubt::is_inner)
    }

    /// What must be said when it is used for a place: the doubts, its distance when beyond `far`, and that the chart
    /// decides.
    pub fn warnings(&self, far: Length, units: Units) -> Vec<String> {
        let mut all = Vec::new();
        if self.distance.m() > far.m() {
            let times = if self.distance.km() > HOURS_FROM_KM { "hours" } else { "many minutes" };
            all.push(format!(
                "It is {} away: its times may be off by {times}, and its heights may be those of another tide.",
                units.distance(self.distance)
            ));
        }
        all.extend(self.doubts.iter().map(Doubt::sentence));
        all.push(
            "No coastline is known here: see on the chart that it lies on the same water as the beach, not behind a \
             headland or an inlet."
                .into(),
        );
        all
    }
}

/// The station that would be taken for a place, and those beside it.
#[derive(Clone, Debug, PartialEq)]
pub struct Choice {
    /// The nearest, nearest first.
    pub near: Vec<Near>,
    /// Position of the one to take.
    pub taken: usize,
}

impl Choice {
    /// The one to take; nothing when no station is known.
    pub fn station(&self) -> Option<&Near> {
        self.near.get(self.taken)
    }

    /// Nearer ones that were passed over.
    pub fn passed_over(&self) -> &[Near] {
        self.near.get(..self.taken).unwrap_or_default()
    }
}

/// What is compared between neighbours.
struct Sketch {
    /// Half range when the four greatest constituents agree, m.
    half_m: f64,
    /// Lag of M2, K1, O1 in hours with the offset, and the share of the half range they make.
    waves: [(f64, f64, f64); 3],
}

/// Speeds of M2, K1, O1, degrees an hour (Schureman 1940, table 2).
const WAVES: [(&str, f64); 3] = [("M2", 28.984_104_2), ("K1", 15.041_068_6), ("O1", 13.943_035_6)];

impl Sketch {
    fn of(found: &Found) -> Self {
        let s = found.reference();
        let own: f64 = ["M2", "S2", "K1", "O1"].iter().map(|n| s.amplitude(n).m()).sum();
        let (half_m, later_h) = match found {
            Found::Station(_) => (own, 0.0),
            Found::Subordinate(sub, _) => {
                let mean = s.mean_level.m();
                let level = |rule: HeightRule, l| rule.apply_m(l);
                let half = (level(sub.high, mean + own) - level(sub.low, mean - own)) / 2.0;
                (half, f64::midpoint(sub.high_later_min, sub.low_later_min) / 60.0)
            }
        };
        let waves = WAVES.map(|(name, speed)| {
            let share = if own > 0.0 { s.amplitude(name).m() / own } else { 0.0 };
            (s.lag(name).unwrap_or_default().deg() / speed + later_h, share, 360.0 / speed)
        });
        Self { half_m, waves }
    }

    /// Hours by which it is later than another, by the constituent that is greatest here, if it counts there too.
    fn later_h(&self, other: &Self) -> Option<f64> {
        let (mine, theirs) = self.waves.iter().zip(&other.waves).max_by(|a, b| a.0.1.total_cmp(&b.0.1))?;
        if mine.1 < 0.25 || theirs.1 < 0.25 {
            return None;
        }
        let (h, period) = (mine.0 - theirs.0, mine.2);
        Some(h - period * (h / period + 0.5).floor())
    }
}

impl Stations {
    /// The `count` stations nearest to a place, nearest first, with what speaks against each. What the database's
    /// own review set aside is left out unless `aside`.
    ///
    /// # Errors
    /// A broken record of the world pack.
    pub fn nearest(&self, place: Place, count: usize, aside: bool) -> Result<Vec<Near>> {
        let group = self.by_distance(place, count.max(GROUP), aside)?;
        let sketches: Vec<Sketch> = group.iter().map(|(_, f)| Sketch::of(f)).collect();
        let near: Vec<Near> = group
            .iter()
            .zip(&sketches)
            .enumerate()
            .map(|(i, ((distance, found), sketch))| {
                let (form, kind) = found.reference().form();
                Near {
                    found: found.clone(),
                    distance: *distance,
                    form,
                    kind,
                    range: Length::of_m(2.0 * sketch.half_m),
                    doubts: doubts(i, &group, &sketches),
                }
            })
            .take(count)
            .collect();
        Ok(near)
    }

    /// The station to take for a place: the nearest without sign of standing behind an inlet within 50 km, else the
    /// nearest.
    ///
    /// # Errors
    /// A broken record of the world pack.
    pub fn choose(&self, place: Place) -> Result<Choice> {
        let near = self.nearest(place, GROUP, false)?;
        let fit = near.iter().position(|n| n.is_fit() && n.distance.km() <= FIT_WITHIN_KM);
        Ok(Choice { near, taken: fit.unwrap_or_default() })
    }

    /// Whether what weather does to the water at a gauge is taken for a place: not from further away than `far_km`, not
    /// from a tide of another kind than that of the place's `own` station, and not from a gauge that looks as if it
    /// stood behind an inlet, unless it is that station itself. Wind and pressure stand differently in each of these.
    ///
    /// The borders are ours; no coastline is known here, so what passes may still be another water.
    ///
    /// # Errors
    /// Why it is not, as half a sentence that names the gauge.
    pub fn same_water(
        &self,
        gauge: &Found,
        place: Place,
        own: Option<&Found>,
        far_km: f64,
    ) -> std::result::Result<(), String> {
        let id = gauge.id();
        let km = gauge.place().distance(place).km();
        // Said so that a border that is no number refuses.
        let within = km <= far_km;
        if !within {
            return Err(format!("{id} stands {km:.0} km away, more than {far_km:.0} km"));
        }
        if let Some(own) = own {
            if own.id() == id {
                return Ok(());
            }
            let (theirs, ours) = (gauge.reference().form().1, own.reference().form().1);
            if theirs != ours {
                return Err(format!("the tide of {id} is {theirs}, that of {} is {ours}", own.id()));
            }
        }
        let near = self.nearest(gauge.place(), GROUP, true).map_err(|e| e.error)?;
        let own = near.iter().find(|n| n.found.id() == id);
        match own.and_then(|n| n.doubts.iter().find(|d| d.is_inner())) {
            Some(doubt) => {
                let why = doubt.sentence();
                Err(format!("{id} may not feel the open coast: {}", why.trim_end_matches('.')))
            }
            None => Ok(()),
        }
    }

    /// Distances first on the sphere, which is quick; along the ellipsoid for those that may be among the nearest.
    fn by_distance(&self, place: Place, count: usize, aside: bool) -> Result<Vec<(Length, Found)>> {
        let own = self.own()?;
        let mut rough: Vec<(f64, usize, Place)> = Vec::new();
        rough.extend(own.iter().enumerate().map(|(i, f)| (f.place().on_sphere(place).m(), i, f.place())));
        if let Some(world) = self.world() {
            rough.extend((0..world.len()).filter_map(|i| {
                let shown = aside || !world.is_set_aside(i);
                let at = world.place(i).filter(|_| shown && !self.is_own(world.id(i)))?;
                Some((at.on_sphere(place).m(), own.len() + i, at))
            }));
        }
        rough.sort_by(|a, b| a.0.total_cmp(&b.0));
        let border = rough.get(count.saturating_sub(1)).or(rough.last()).map_or(0.0, |r| r.0);
        let border = border * (1.0 + SPHERE) / (1.0 - SPHERE) + 1.0;
        let mut exact: Vec<(Length, usize)> =
            rough.iter().take_while(|r| r.0 <= border).map(|(_, i, at)| (place.distance(*at), *i)).collect();
        exact.sort_by(|a, b| a.0.m().total_cmp(&b.0.m()).then(a.1.cmp(&b.1)));
        exact
            .into_iter()
            .take(count)
            .map(|(d, i)| match own.get(i) {
                Some(f) => Ok((d, f.clone())),
                None => Ok((d, self.of_world_at(i - own.len())?)),
            })
            .collect()
    }

    /// Stations whose id, name, region and country hold all words of a text, whatever their case and accents; those
    /// whose name begins with it first. What was set aside is left out unless `aside`.
    ///
    /// # Errors
    /// A broken record of the world pack.
    pub fn search(&self, text: &str, aside: bool) -> Result<Vec<Card>> {
        let sought = plain(text);
        let words: Vec<&str> = sought.split_whitespace().collect();
        let mut cards: Vec<Card> = self.own()?.iter().map(Found::card).collect();
        if let Some(world) = self.world() {
            for i in (0..world.len()).filter(|i| aside || !world.is_set_aside(*i)) {
                if !self.is_own(world.id(i)) {
                    cards.push(world.card(i)?);
                }
            }
        }
        cards.retain(|c| {
            let all = plain(&format!("{} {} {} {}", c.id, c.name, c.region, c.country));
            words.iter().all(|w| all.contains(w))
        });
        cards.sort_by_cached_key(|c| {
            let name = plain(&c.name);
            (name != sought, !name.starts_with(&sought), name)
        });
        Ok(cards)
    }
}

fn doubts(i: usize, group: &[(Length, Found)], sketches: &[Sketch]) -> Vec<Doubt> {
    let (Some((_, found)), Some(sketch)) = (group.get(i), sketches.get(i)) else { return Vec::new() };
    let mut all = Vec::new();
    let name = plain(found.name());
    let inner = name.split(|c: char| !c.is_alphanumeric()).find(|w| INNER.contains(w));
    all.extend(inner.map(|w| Doubt::InnerName(w.to_owned())));
    let neighbours = || {
        group.iter().zip(sketches).enumerate().filter(move |(k, ((_, other), _))| {
            *k != i && other.place().distance(found.place()).km() <= NEIGHBOURS_KM
        })
    };
    let greatest = neighbours().max_by(|a, b| a.1.1.half_m.total_cmp(&b.1.1.half_m));
    if let Some((_, ((_, other), theirs))) = greatest
        && sketch.half_m < SMALL * theirs.half_m
    {
        all.push(Doubt::Small { than: named(other), share: sketch.half_m / theirs.half_m });
    }
    let latest = neighbours()
        .filter_map(|(_, ((_, other), theirs))| Some((sketch.later_h(theirs)?, other)))
        .max_by(|a, b| a.0.total_cmp(&b.0));
    if let Some((hours, other)) = latest
        && hours > LATE_H
    {
        all.push(Doubt::Late { than: named(other), hours });
    }
    let (form, own) = found.reference().form();
    let other = group.iter().take(KINDS).find(|(_, o)| o.reference().form().1 != own);
    if let Some((_, other)) = other {
        let (_, kind) = other.reference().form();
        if i < KINDS && form.is_finite() {
            all.push(Doubt::OtherKind { own, than: named(other), kind });
        }
    }
    all
}

fn named(f: &Found) -> String {
    format!("{} ({}, F {})", f.name(), f.id(), significant(f.reference().form().0, 2))
}

/// Small letters without accents, for comparing names.
fn plain(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.trim().chars().flat_map(char::to_lowercase) {
        match c {
            'à'..='å' | 'ā' | 'ă' | 'ą' => out.push('a'),
            'æ' => out.push_str("ae"),
            'ç' | 'ć' | 'č' => out.push('c'),
            'ð' | 'đ' => out.push('d'),
            'è'..='ë' | 'ē' | 'ę' | 'ě' => out.push('e'),
            'ì'..='ï' | 'ī' | 'ı' => out.push('i'),
            'ł' => out.push('l'),
            'ñ' | 'ń' | 'ň' => out.push('n'),
            'ò'..='ö' | 'ø' | 'ō' | 'ő' => out.push('o'),
            'œ' => out.push_str("oe"),
            'ř' => out.push('r'),
            'ś' | 'š' | 'ş' | 'ș' => out.push('s'),
            'ß' => out.push_str("ss"),
            'ţ' | 'ț' | 'ť' => out.push('t'),
            'þ' => out.push_str("th"),
            'ù'..='ü' | 'ū' | 'ů' | 'ű' => out.push('u'),
            'ý' | 'ÿ' => out.push('y'),
            'ź' | 'ż' | 'ž' => out.push('z'),
            // Combining accents, as some sources write them.
            '\u{300}'..='\u{36f}' => {}
            other => out.push(other),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sea::tide::world::World;

    fn shipped() -> Stations {
        let bytes: &'static [u8] = include_bytes!("../../../../../data/stations.bin");
        Stations::of_world(World::open("stations.bin", bytes).unwrap())
    }

    #[test]
    fn weather_is_taken_over_from_the_same_water_alone() {
        let all = shipped();
        let beach = Place::of_deg(26.62, -97.32).unwrap();
        let choice = all.choose(beach).unwrap();
        let own = &choice.station().unwrap().found;
        assert_eq!(own.id(), "noaa/8778485");
        let ask = |id: &str, own, km| all.same_water(&all.get(id).unwrap(), beach, own, km);
        let no = |id: &str, own, km| ask(id, own, km).unwrap_err();
        assert_eq!(ask("8778485", Some(own), 100.0), Ok(()));
        // Boston says nothing of Texas, whoever's tide is compared.
        for own in [Some(own), None] {
            assert!(no("8443970", own, 100.0).contains("km away"));
        }
        assert!(no("8778485", Some(own), 5.0).contains("8 km away, more than 5 km"));
        assert!(ask("8778485", Some(own), f64::NAN).is_err());
        // Another kind of tide, and a gauge in the lagoon behind the beach.
        assert!(no("noaa/8779750", Some(own), 100.0).contains("is diurnal, that of noaa/8778485 is mixed"));
        let lagoon = "ticon/rincon_del_san_jose-8777812-usa-noaa";
        for own in [Some(own), None] {
            assert!(no(lagoon, own, 100.0).contains("may not feel the open coast: Its tide is only 0.0"));
        }
        // A far station is said to be far in times and in heights.
        let near = choice.station().unwrap();
        let away = |km: f64, far: f64| {
            let near = Near { distance: Length::of_km(km), ..near.clone() };
            near.warnings(Length::of_km(far), Units::Metric).join(" ")
        };
        assert!(away(125.0, 100.0).contains("off by hours, and its heights"));
        assert!(away(60.0, 50.0).contains("off by many minutes, and its heights"));
        assert!(!away(60.0, 100.0).contains("away"));
        // The station that was taken for the beach is heard, whatever speaks against it.
        let lagoon = all.get(lagoon).unwrap();
        assert_eq!(all.same_water(&lagoon, beach, Some(&lagoon), 100.0), Ok(()));
    }
}
