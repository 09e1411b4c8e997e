//! Names of stations: by words, by place, or from the top of the list.

use crate::answer::{Answer, Failure};
use crate::desk::Desk;
use serde::Serialize;
use tailrope::quantity::{Length, Place};

/// What is sought.
pub struct What<'a> {
    /// Near a place.
    pub near: Option<Place>,
    /// By words.
    pub find: Option<&'a str>,
    /// At most so many.
    pub limit: usize,
    /// Also what the database's own review set aside.
    pub aside: bool,
}

#[derive(Serialize)]
struct ListJson {
    schema: &'static str,
    stations: Vec<StationJson>,
    /// Stations that fit, be they named or not.
    count: usize,
}

#[derive(Serialize)]
struct StationJson {
    id: String,
    name: String,
    region: String,
    country: String,
    latitude_deg: f64,
    longitude_deg: f64,
    zone: String,
    follows: bool,
    set_aside: Option<String>,
    distance_km: Option<f64>,
    kind: Option<&'static str>,
    range_m: Option<f64>,
    doubts: Vec<String>,
}

/// The list.
pub fn answer(what: &What<'_>, desk: &Desk) -> Result<Answer, Failure> {
    let stations = desk.packs.stations()?;
    let (list, count) = if let Some(place) = what.near {
        let near = stations.nearest(place, what.limit, what.aside)?;
        let list: Vec<StationJson> = near
            .iter()
            .map(|n| StationJson {
                distance_km: Some(n.distance.km()),
                kind: Some(n.kind),
                range_m: Some(n.range.m()),
                doubts: n.doubts.iter().map(tailrope::sea::tide::Doubt::sentence).collect(),
                ..of_card(n.found.card())
            })
            .collect();
        (list, stations.count())
    } else {
        let cards = stations.search(what.find.unwrap_or_default(), what.aside)?;
        let count = cards.len();
        (cards.into_iter().take(what.limit).map(of_card).collect(), count)
    };
    let mut page = desk.page();
    if list.is_empty() {
        page.say("No station is called so. Try a part of the name, the state or the country; or --near NORTH,EAST.");
    }
    page.points(list.iter().map(|s| line(s, desk)));
    if what.near.is_some() {
        page.say(
            "A near station behind a headland or inside a bay can be wrong: the crew confirms the choice.",
        );
    } else if count > list.len() {
        page.say(&format!(
            "{} of {count} stations. Narrow it by words (--find), by place (--near NORTH,EAST), or raise --limit.",
            list.len()
        ));
    }
    if !what.aside {
        page.say("Stations that the database's own review set aside are left out: --aside names them too.");
    }
    Answer::new(page.into_text(), &ListJson { schema: "tailrope.tide/1", stations: list, count })
}

fn of_card(card: tailrope::sea::tide::world::Card) -> StationJson {
    StationJson {
        latitude_deg: card.place.latitude_deg(),
        longitude_deg: card.place.longitude_deg(),
        id: card.id,
        name: card.name,
        region: card.region,
        country: card.country,
        zone: card.zone,
        follows: card.follows,
        set_aside: card.set_aside,
        distance_km: None,
        kind: None,
        range_m: None,
        doubts: Vec::new(),
    }
}

fn line(s: &StationJson, desk: &Desk) -> String {
    let at: Vec<&str> = [&*s.region, &*s.country].into_iter().filter(|w| !w.is_empty()).collect();
    let mut line = format!("{} {}, {} ({})", s.id, s.name, at.join(", "), s.zone);
    if let (Some(km), Some(kind)) = (s.distance_km, s.kind) {
        line.push_str(&format!(": {} away, {kind}", desk.units.distance(Length::of_km(km))));
        if let Some(range) = s.range_m {
            line.push_str(&format!(", range about {}", desk.units.height(Length::of_m(range))));
        }
        line.push('.');
        for doubt in &s.doubts {
            line.push(' ');
            line.push_str(doubt);
        }
    } else if s.follows {
        line.push_str(", follows another");
    }
    if let Some(why) = &s.set_aside {
        line.push_str(&format!(" Set aside: {why}."));
    }
    line
}
