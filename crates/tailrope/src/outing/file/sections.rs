//! The sections of an outing file that belong to the outing itself: night, beach, sea, weather, fish, bait,
//! landing, safety, kit. Outfit and rig are [`crate::tackle`]'s, people and stance [`crate::people`]'s.

use super::when::{Clock, Day, Moment};
use crate::facts::Known;
use crate::fish::{FishLength, Region};
use crate::hold::{BaitLies, BaitSize, SinkerSet};
use crate::quantity::{Angle, Force, Length, Slope, Span, Speed, Temperature, Torque};
use crate::sea::surf::FloatRun;
pub use crate::sea::surf::{WashSeen, WaveCount};
use crate::sea::tide::TypedTable;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// The night and its hours, in the beach's own time.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Night {
    /// Local date of the evening.
    pub date: Day,
    /// When the crew wants to begin.
    pub from: Clock,
    /// When it wants to end; at or before `from` means the next day.
    pub until: Clock,
    /// When the last bait comes in.
    #[serde(default)]
    pub last_bait_in: Known<Clock>,
    /// When the crew wants to be home; the driver's hours are counted to here.
    #[serde(default)]
    pub home_by: Known<Clock>,
    /// Baits in the water at one time.
    #[serde(default)]
    pub baits_out: Known<u8>,
}

/// How a phone works on the sand.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Signal {
    /// Calls and data.
    VoiceAndData,
    /// One of the two, or messages only.
    VoiceOrText,
    /// Nothing.
    None,
}

/// Walkers and vehicles between rods and water.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum LineSide {
    /// Nobody.
    None,
    /// Now and then somebody.
    Few,
    /// Some all the time.
    Some,
    /// A crowd, an event, heavy driving.
    Crowd,
}

/// The way out by car or foot.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "snake_case")]
pub enum WayOut {
    /// Never under water.
    AlwaysDry(bool),
    /// Cut off when the water (tide and residual) stands at this height or more, above what [`Beach::levels_above`] says.
    CutOffAt(Length),
}

/// The beach.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Beach {
    /// What the crew calls it.
    pub name: String,
    /// Degrees north, -90 to 90.
    pub latitude: f64,
    /// Degrees east, -180 to 180.
    pub longitude: f64,
    /// IANA time zone: `America/Chicago`.
    pub zone: String,
    /// Stretch of coast of the species pack's seasons: `gulf-nw`.
    #[serde(default)]
    pub region: Known<Region>,
    /// Where the beach faces: the direction out to sea, square to the water's edge, degrees true.
    #[serde(default)]
    pub faces: Known<Angle>,
    /// Id of the tide station, or its number alone: `noaa/8779750`, `8779750`.
    #[serde(default)]
    pub tide_station: Known<String>,
    /// A printed tide table, typed in: where no station is near. It goes before the station on nights it covers.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub tide_table: Option<TypedTable>,
    /// What typed levels of the beach (`cut_off_at`) are above: `MLLW`, `MSL`. Unsaid, the station's own datum, where no
    /// table is typed.
    #[serde(default)]
    pub levels_above: Known<String>,
    /// Ids of the rule packs of the places it lies in, widest first.
    #[serde(default)]
    pub law_packs: Vec<String>,
    /// Zones of those packs in which the stand lies.
    #[serde(default)]
    pub law_zones: Known<Vec<String>>,
    /// Levels of rule-making (`county`, `city`, `park`, `site`) in which the beach lies.
    #[serde(default)]
    pub law_levels: Vec<String>,
    /// Slope of the foreshore, where the waves run up.
    #[serde(default)]
    pub foreshore_slope: Known<Slope>,
    /// Slope of the sand where the angler stands.
    #[serde(default)]
    pub stand_slope: Known<Slope>,
    /// Free sand behind the angler.
    #[serde(default)]
    pub room_behind: Known<Length>,
    /// The way out.
    #[serde(default)]
    pub way_out: Known<WayOut>,
    /// Time to a hard-topped vehicle or a building.
    #[serde(default)]
    pub shelter: Known<Span>,
    /// Time until medical help arrives.
    #[serde(default)]
    pub care: Known<Span>,
    /// How a phone works there.
    #[serde(default)]
    pub phone: Known<Signal>,
    /// Walkers and vehicles on the line side.
    #[serde(default)]
    pub line_side: Known<LineSide>,
    /// Distance to the nearest person in the water at those hours.
    #[serde(default)]
    pub bathers: Known<Length>,
    /// When bathers or lifeguards are there first in the morning.
    #[serde(default)]
    pub bathers_from: Known<Clock>,
    /// When they have left in the evening.
    #[serde(default)]
    pub bathers_until: Known<Clock>,
    /// People in the water as the crew counted them there on other days.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub bather_counts: Vec<BatherCount>,
    /// Where a rescuer drives in: access number, street end, gate.
    #[serde(default)]
    pub access: Known<String>,
    /// Emergency and coast-rescue number of this country, as the crew looked it up.
    #[serde(default)]
    pub emergency_number: Known<String>,
    /// Nearest hospital that treats severe bleeding.
    #[serde(default)]
    pub hospital: Known<String>,
}

/// People in the water, counted.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct BatherCount {
    /// When, local time.
    pub at: Moment,
    /// How many within sight of the stand.
    pub people: u32,
}

/// Rip current word of the official outlook.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum RipRisk {
    /// Low.
    Low,
    /// Moderate.
    Moderate,
    /// High.
    High,
}

/// Animals near the bait.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Animals {
    /// None seen.
    None,
    /// Seals, bait balls, dolphins nearby.
    Nearby,
    /// A turtle or mammal at the bait.
    AtTheBait,
}

/// The sea as forecast, and as the crew measured it (what is measured wins).
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Sea {
    /// When these figures were read or issued, local time.
    #[serde(default)]
    pub as_of: Known<Moment>,
    /// Significant wave height outside the breakers.
    #[serde(default)]
    pub wave_height: Known<Length>,
    /// Peak period.
    #[serde(default)]
    pub wave_period: Known<Span>,
    /// Angle of the waves to the shore normal outside the breakers.
    #[serde(default)]
    pub wave_angle: Known<Angle>,
    /// Water temperature.
    #[serde(default)]
    pub water_temperature: Known<Temperature>,
    /// Current along the beach where the handlers stand.
    #[serde(default)]
    pub current: Known<Speed>,
    /// Rip current word of the official outlook.
    #[serde(default)]
    pub rip_outlook: Known<RipRisk>,
    /// Observed minus predicted water level.
    #[serde(default)]
    pub residual: Known<Length>,
    /// Animals near the bait.
    #[serde(default)]
    pub animals: Known<Animals>,
    /// Floats timed along the beach, over ten paces or more.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub float_runs: Vec<FloatRun>,
    /// Waves counted in a time.
    #[serde(default)]
    pub wave_count: Known<WaveCount>,
    /// Paces to the highest wash.
    #[serde(default)]
    pub wash_seen: Known<WashSeen>,
}

/// Whence the wind, seen from the beach.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum WindFrom {
    /// From the sea.
    Onshore,
    /// Along the beach.
    Along,
    /// From the land.
    Offshore,
}

/// Thunder, lightning, storms.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Thunder {
    /// None forecast.
    None,
    /// A slight chance, below that from which storms count as forecast.
    Slight,
    /// Storms in the region.
    Storm,
    /// Lightning seen, no thunder.
    Lightning,
    /// Thunder heard.
    Heard,
}

/// The weather.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Weather {
    /// When these figures were read or issued, local time.
    #[serde(default)]
    pub as_of: Known<Moment>,
    /// Mean wind.
    #[serde(default)]
    pub wind: Known<Speed>,
    /// Whence.
    #[serde(default)]
    pub wind_from: Known<WindFrom>,
    /// Gusts.
    #[serde(default)]
    pub gust: Known<Speed>,
    /// Air temperature.
    #[serde(default)]
    pub air_temperature: Known<Temperature>,
    /// Relative humidity, per cent (0 to 100).
    #[serde(default)]
    pub humidity: Known<f64>,
    /// Thunder and storms.
    #[serde(default)]
    pub thunder: Known<Thunder>,
    /// Time since the last thunder, if there was any.
    #[serde(default)]
    pub since_thunder: Known<Span>,
    /// How far one can see.
    #[serde(default)]
    pub visibility: Known<Length>,
}

/// The fish wished for.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Target {
    /// Id, name or alias of the species pack.
    pub species: String,
    /// Lower end of the size band, with the way it is measured: `1.8m total`.
    pub from: FishLength,
    /// Upper end of the size band.
    pub to: FishLength,
}

/// How the bait gets out.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Delivery {
    /// Cast from the sand.
    Cast,
    /// By kayak.
    Kayak,
    /// By surfboard or paddle board.
    Board,
    /// Waded or swum out.
    Swim,
    /// By drone.
    Drone,
    /// By a remote-controlled craft.
    RcCraft,
    /// By boat with a motor.
    Boat,
    /// By a gun, balloon or other launcher.
    Launcher,
}

/// What the bait is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum BaitKind {
    /// Live fish or other animal.
    LiveNatural,
    /// Dead or cut.
    DeadNatural,
    /// A lure.
    ArtificialLure,
    /// A fly.
    Fly,
}

/// What marks a bait on the water.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum BaitMark {
    /// Nothing.
    None,
    /// A float.
    Float,
    /// A float with a light.
    FloatWithLight,
}

/// The bait and its way out.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Bait {
    /// How it gets out.
    #[serde(default)]
    pub delivery: Known<Delivery>,
    /// How far out it lies, from the rod.
    #[serde(default)]
    pub distance: Known<Length>,
    /// What the bait is.
    #[serde(default)]
    pub kind: Known<BaitKind>,
    /// Length and width of the bait: `350x90mm`.
    #[serde(default)]
    pub size: Known<BaitSize>,
    /// How it lies to the current: `broadside`, `nose-on` or `chunk`.
    #[serde(default)]
    pub lies: Known<BaitLies>,
    /// Depth where it lies, at the lowest tide of the soak.
    #[serde(default)]
    pub depth: Known<Length>,
    /// Tension kept at the rod while it lies; unknown counts as the outfit's soak drag.
    #[serde(default)]
    pub rod_tension: Known<Force>,
    /// How the sinker's wires sit in the sand: `half` or `well`.
    #[serde(default)]
    pub sinker_set: Known<SinkerSet>,
    /// The longest that one bait lies.
    #[serde(default)]
    pub soak: Known<Span>,
    /// Whether anything is thrown in to draw fish.
    #[serde(default)]
    pub chum: Known<bool>,
    /// People ashore who do nothing but watch the paddler.
    #[serde(default)]
    pub watchers: Known<u8>,
    /// White light on the paddler.
    #[serde(default)]
    pub white_light: Known<bool>,
    /// Wetsuit or drysuit on the paddler.
    #[serde(default)]
    pub suit: Known<bool>,
    /// Wearable float on the paddler.
    #[serde(default)]
    pub float: Known<bool>,
    /// Somebody with no other task looks seaward for boats, a light at hand to sweep.
    #[serde(default)]
    pub lookout: Known<bool>,
    /// What marks the bait.
    #[serde(default)]
    pub marked: Known<BaitMark>,
    /// Boats an hour that cross the water between sand and bait at those hours, as the crew counted.
    #[serde(default)]
    pub boats_per_hour: Known<f64>,
    /// How long they were counted in all.
    #[serde(default)]
    pub boats_watched: Known<Span>,
}

/// How the fish is handled.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Manner {
    /// Unhooked or cut at the leader, no rope.
    LeaderOnly,
    /// Tail rope; held, tagged or measured.
    Roped,
}

/// The landing.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Landing {
    /// How the fish is handled.
    #[serde(default)]
    pub manner: Known<Manner>,
    /// Minutes from leader in hand to release.
    #[serde(default)]
    pub handling: Known<Span>,
    /// Minutes with the gills out of the water.
    #[serde(default)]
    pub air: Known<Span>,
    /// Whether a leader hand can reach the leader from the sand.
    #[serde(default)]
    pub leader_from_sand: Known<bool>,
    /// Longest fight the crew allows before it cuts.
    #[serde(default)]
    pub fight_limit: Known<Span>,
}

/// State of the harness clip.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Clip {
    /// The angler is never clipped in.
    NotClipped,
    /// Opened under load tonight, both hands.
    Tonight,
    /// Opened under load this season, not tonight.
    ThisSeason,
    /// Does not open under load.
    Fails,
    /// Never tried.
    Untried,
}

/// What keeps the crew safe.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Safety {
    /// Contact ashore who knows the plan: what the crew calls them, or `none`.
    #[serde(default)]
    pub contact: Known<String>,
    /// When that contact acts if nothing was heard.
    #[serde(default)]
    pub overdue_at: Known<Clock>,
    /// What the contact does then.
    #[serde(default)]
    pub overdue_action: Known<String>,
    /// A tested beacon, VHF or satellite messenger.
    #[serde(default)]
    pub beacon: Known<bool>,
    /// Tourniquet and gauze on the beach.
    #[serde(default)]
    pub bleeding_kit: Known<bool>,
    /// Somebody trained in its use.
    #[serde(default)]
    pub bleeding_trained: Known<bool>,
    /// The harness clip.
    #[serde(default)]
    pub clip: Known<Clip>,
    /// Neoprene or a dry change for handlers.
    #[serde(default)]
    pub dry_change: Known<bool>,
    /// A warm place at hand.
    #[serde(default)]
    pub warm_place: Known<bool>,
    /// Shade.
    #[serde(default)]
    pub shade: Known<bool>,
    /// Drinking water.
    #[serde(default)]
    pub drinking_water: Known<bool>,
    /// Name of the person who drives home.
    #[serde(default)]
    pub drives_home: Known<String>,
}

/// What the rule packs ask beside tackle, people and fish.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Law {
    /// Whether a car is driven on the beach.
    #[serde(default)]
    pub vehicle_on_beach: Known<bool>,
    /// Whether it is registered for public roads.
    #[serde(default)]
    pub vehicle_road_registered: Known<bool>,
    /// Whether the night is part of a tournament.
    #[serde(default)]
    pub tournament: Known<bool>,
    /// Whether the bait is a game fish under the law of the place.
    #[serde(default)]
    pub bait_is_game_fish: Known<bool>,
    /// Rods that one person fishes.
    #[serde(default)]
    pub lines_per_person: Known<u8>,
    /// Documents for persons the packs ask of the crew (`crew.adult_with_documents`) and any other fact of the
    /// vocabulary, by its id.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub facts: BTreeMap<String, serde_json::Value>,
}

/// What is packed.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Packed {
    /// Ids of the kit pack.
    #[serde(default)]
    pub have: Known<Vec<String>>,
}

/// Where and how the angler stands.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Stand {
    /// `upright`, `lean` or `sitting`.
    #[serde(default)]
    pub stance: Known<crate::people::Stance>,
    /// Centre of mass behind the toes.
    #[serde(default)]
    pub lean: Known<Length>,
    /// Front toes to rear heel.
    #[serde(default)]
    pub feet_split: Known<Length>,
    /// Rod tip above the sand.
    #[serde(default)]
    pub tip_up: Known<Length>,
    /// Rod tip ahead of the toes.
    #[serde(default)]
    pub tip_ahead: Known<Length>,
    /// Line below level at the tip.
    #[serde(default)]
    pub line_angle: Known<Angle>,
    /// What the feet stand on.
    #[serde(default)]
    pub sand: Known<crate::people::Sand>,
    /// Friction of feet on it, if the crew measured it.
    #[serde(default)]
    pub friction: Known<f64>,
    /// Or the pulls at which the feet slipped, from which the friction is worked out with its spread.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub slip_test: Option<crate::people::SlipTest>,
    /// Moment that the angler's back bears, if the crew measured it (pull at the rod tip times its arm about the
    /// pin, at which the angler gives way).
    #[serde(default)]
    pub back_moment: Known<Torque>,
    /// Dry sand between the toes and the highest wash.
    #[serde(default)]
    pub toes_above_wash: Known<Length>,
    /// Soft clear ground behind.
    #[serde(default)]
    pub clear_behind: Known<bool>,
}
