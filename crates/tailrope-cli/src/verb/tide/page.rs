//! The tide as a page of text. Every time stands under a head that names its clock, or carries it.

use super::{LevelAt, Side, Water};
use crate::desk::Desk;
use crate::layout::Page;
use crate::when;
use jiff::Timestamp;
use jiff::civil::Date;
use jiff::tz::TimeZone;
use tailrope::quantity::{Interval, Length, Units, significant};
use tailrope::sea::tide::{Found, Near, NodeRule, TurningPoint, Water as Kind};

/// Stations shown beside the one that is taken.
const BESIDE: usize = 4;

/// The whole page.
pub fn text(w: &Water, desk: &Desk) -> String {
    let (about, zone, u) = (w.tide.about(), &w.source.zone, desk.units);
    let mut page = desk.page();
    let named = match &w.source.found {
        Some(f) => {
            let at = f.whereabouts();
            let at = if at.is_empty() { at } else { format!(", {at}") };
            format!("{} ({}){at}", about.name, f.id())
        }
        None => format!("{} ({})", about.name, about.source),
    };
    page.say(&format!("{named}: heights above {}, local time ({}).", about.datum, w.source.zone_name));
    station(&mut page, w, u);
    for date in &w.dates {
        day(&mut page, w, *date, u);
    }
    if !w.level_at.is_empty() {
        page.head("At the times asked for");
        let rows: Vec<Vec<String>> = w.level_at.iter().map(|l| at_time(l, zone, u)).collect();
        page.table(&["time", "height", "within", "it"], &rows, &[0, 3]);
    }
    for (word, side) in [("Above", &w.above), ("Below", &w.below)] {
        if let Some(side) = side {
            spans(&mut page, word, side, w, u);
        }
    }
    let doubts = doubts(w, u);
    if !doubts.is_empty() {
        page.head("Look twice").points(doubts);
    }
    page.head("What it is worth").points(worth(w, u));
    page.into_text()
}

/// How the station was found, what speaks against it, and what lies beside it.
fn station(page: &mut Page, w: &Water, u: Units) {
    if w.source.table.is_some() {
        page.points(warnings(w, u));
    }
    let Some(c) = &w.source.chosen else { return };
    let Some(taken) = c.choice.station() else { return };
    let fit = if taken.is_fit() {
        "the nearest that does not look as if it stood behind an inlet"
    } else {
        "the nearest"
    };
    let over = c.choice.passed_over().len();
    let over = match over {
        0 => String::new(),
        1 => " One nearer is passed over.".to_owned(),
        n => format!(" {n} nearer are passed over."),
    };
    page.head("Which station");
    page.say(&format!(
        "{} from {}, {}: {fit}.{over}",
        u.distance(taken.distance),
        c.place.latitude_deg(),
        c.place.longitude_deg()
    ));
    page.points(warnings(w, u));
    let others: Vec<String> = c
        .choice
        .near
        .iter()
        .enumerate()
        .filter(|(i, _)| *i != c.choice.taken)
        .take(BESIDE.max(over_count(w)))
        .map(|(_, n)| beside(n, u))
        .collect();
    if !others.is_empty() {
        page.say("Beside it:").points(others);
    }
}

fn over_count(w: &Water) -> usize {
    w.source.chosen.as_ref().map_or(0, |c| c.choice.passed_over().len())
}

fn beside(n: &Near, u: Units) -> String {
    let doubt = n.doubts.first().map_or_else(String::new, |d| format!(" {}", d.sentence()));
    format!(
        "{} ({}), {}: {}, range about {}.{doubt}",
        n.found.name(),
        n.found.id(),
        u.distance(n.distance),
        n.kind,
        u.height(n.range)
    )
}

/// What must be said of the station that was taken for a beach, and of a table that seems to leave waters out.
pub fn warnings(w: &Water, u: Units) -> Vec<String> {
    if let Some(table) = &w.source.table {
        let zone = &w.source.zone;
        let at = |t: Timestamp| format!("{} {}", when::day(zone.to_datetime(t).date()), when::clock(t, zone));
        let told = |g: &Interval| {
            format!(
                "A water seems to be missing between {} and {} {}: what stands there is drawn over it.",
                at(g.from()),
                at(g.to()),
                abbreviation(g.to(), zone)
            )
        };
        return table.gaps(false).iter().map(told).collect();
    }
    let Some(c) = &w.source.chosen else { return Vec::new() };
    c.choice.station().map_or_else(Vec::new, |n| n.warnings(c.far, u))
}

/// Whether the clock changes within a day.
fn changes(date: Date, zone: &TimeZone) -> Option<(String, String)> {
    let day = Interval::civil_day(date, zone).ok()?;
    let word = |at: Timestamp| abbreviation(at, zone);
    let (a, b) = (word(day.from()), word(day.to()));
    (a != b).then_some((a, b))
}

/// The clock's own word: `CST`, `-03`.
fn abbreviation(at: Timestamp, zone: &TimeZone) -> String {
    at.to_zoned_datetime(zone.clone()).strftime("%Z").to_string()
}

/// A clock with its word where the day has two.
fn clock(at: Timestamp, zone: &TimeZone, two: bool) -> String {
    let clock = when::clock(at, zone);
    if two { format!("{clock} {}", abbreviation(at, zone)) } else { clock }
}

fn day(page: &mut Page, w: &Water, date: Date, u: Units) {
    let zone = &w.source.zone;
    let change = changes(date, zone);
    let two = change.is_some();
    let head = match (&change, Interval::civil_day(date, zone)) {
        (Some((a, b)), _) => format!("{}, {a}, then {b}: the clocks change", when::day(date)),
        (None, Ok(day)) => format!("{}, {}", when::day(date), abbreviation(day.from(), zone)),
        (None, Err(_)) => when::day(date),
    };
    page.head(&head);
    let on = |at: Timestamp| zone.to_datetime(at).date() == date;
    let today: Vec<&TurningPoint> = w.turning.iter().filter(|t| on(t.at)).collect();
    let rows: Vec<Vec<String>> = today
        .iter()
        .map(|t| vec![water(t.water).to_owned(), clock(t.at, zone, two), u.height(t.level)])
        .collect();
    if rows.is_empty() {
        page.say("  no high or low water on this day");
    } else {
        page.table(&["", "time", "height"], &rows, &[0]);
        for kind in [Kind::High, Kind::Low] {
            if !today.iter().any(|t| t.water == kind) {
                page.say(&format!("  no {} on this day", water(kind)));
            }
        }
    }
    let small: Vec<String> = w
        .small
        .iter()
        .filter(|t| on(t.at))
        .map(|t| format!("{} {} {}", water(t.water), clock(t.at, zone, two), u.height(t.level)))
        .collect();
    if !small.is_empty() {
        page.under(
            "  ",
            &format!("the water also turns, too little or too soon for a table: {}", small.join(", ")),
        );
    }
    let hours: Vec<String> = w
        .levels
        .iter()
        .filter(|(at, _)| on(*at))
        .map(|(at, l)| format!("{} {}", clock(*at, zone, two), u.height(*l)))
        .collect();
    page.say("").grid(&hours);
}

fn at_time(l: &LevelAt, zone: &TimeZone, u: Units) -> Vec<String> {
    let date = zone.to_datetime(l.at).date();
    let an_hour = Length::of_m(l.rate.mps().abs() * 3600.0);
    let way = if an_hour.mm() < 5.0 {
        "stands".to_owned()
    } else if l.rate.mps() > 0.0 {
        format!("rises {} an hour", u.height(an_hour))
    } else {
        format!("falls {} an hour", u.height(an_hour))
    };
    vec![
        format!("{} {} {}", when::day(date), when::clock(l.at, zone), abbreviation(l.at, zone)),
        u.height(l.level),
        u.height(l.error),
        way,
    ]
}

/// Hours of a list of stretches.
pub fn hours(list: &[Interval]) -> f64 {
    list.iter().map(|i| i.length().h()).sum()
}

fn spans(page: &mut Page, word: &str, side: &Side, w: &Water, u: Units) {
    let total = significant(w.stretch.length().h(), 3);
    let of = |list: &[Interval]| format!("{} h of {total} h", significant(hours(list), 3));
    page.head(&format!("{word} {}: {}", u.height(side.level), of(&side.expected)));
    if side.expected.is_empty() {
        page.say("  never in these days, as it is told");
    }
    let zone = &w.source.zone;
    page.points(side.expected.iter().map(|i| stretch(*i, zone)));
    for (end, list) in [("high", &side.high), ("low", &side.low)] {
        let all: Vec<String> = list.iter().map(|i| stretch(*i, zone)).collect();
        let said = if all.is_empty() { "never".to_owned() } else { all.join("; ") };
        page.under("  ", &format!("at the {end} end of the error, {}: {said}", of(list)));
    }
}

fn stretch(i: Interval, zone: &TimeZone) -> String {
    let moment = |at: Timestamp| {
        let date = zone.to_datetime(at).date();
        format!("{} {} {}", when::day(date), when::clock(at, zone), abbreviation(at, zone))
    };
    let end = if zone.to_datetime(i.from()).date() == zone.to_datetime(i.to()).date() {
        format!("{} {}", when::clock(i.to(), zone), abbreviation(i.to(), zone))
    } else {
        moment(i.to())
    };
    format!("{} to {end}", moment(i.from()))
}

/// A tide that moves the water by less is ruled by the wind.
const SMALL_M: f64 = 0.3;

/// What looks wrong, or is less than it seems.
pub fn doubts(w: &Water, u: Units) -> Vec<String> {
    let mut all = Vec::new();
    if w.moves.m() < SMALL_M {
        all.push(format!(
            "The tide moves the water by only {} in these days: wind and pressure rule it there and can move it by more, \
             at any hour.",
            u.height(w.moves)
        ));
    }
    let Some(h) = &w.heard else { return all };
    if h.doubted {
        let m = h.residual.value.m();
        let side = if m < 0.0 { "below" } else { "above" };
        let used = if h.used {
            "It is reckoned with; storms do that"
        } else {
            "It is not reckoned with, for water told too low cuts people off"
        };
        all.push(format!(
            "The gauge stands {} {side} the prediction: is it the weather, or a wrong clock, zone or datum? {used}.",
            u.height(Length::of_m(m.abs()))
        ));
    }
    if let Some(shift) = h.clock {
        let way = if shift.h() > 0.0 { "later" } else { "earlier" };
        all.push(format!(
            "The levels of the file fit the tide much better {} h {way}, as if its times were in another zone: see how it \
             was asked for, and tell its zone.",
            significant(shift.h().abs(), 3)
        ));
    }
    all
}

fn water(w: Kind) -> &'static str {
    match w {
        Kind::High => "high water",
        Kind::Low => "low water",
    }
}

fn worth(w: &Water, u: Units) -> Vec<String> {
    let about = w.tide.about();
    let mut all = vec![format!(
        "Prediction: within {} mm and {} min. With ordinary weather: within {}; storms more.",
        significant(about.level_error.mm(), 2),
        about.time_error_min,
        u.height(w.tide.error(w.stretch.from()).max(w.tide.error(w.stretch.to())))
    )];
    if let Some(h) = &w.heard {
        let r = &h.residual;
        let (zone, m) = (&w.source.zone, r.value.m());
        let carried = match (h.used, m < 0.0) {
            (false, _) => "It is not reckoned with.".to_owned(),
            (true, below) => format!(
                "{}; what the reading is worth fades within a day, then within {}.",
                if below {
                    "It is back at the prediction after a day"
                } else {
                    "It is carried forward as it stands"
                },
                u.height(w.tide.error(w.stretch.to()))
            ),
        };
        let side = if m < 0.0 { "below" } else { "above" };
        all.push(format!(
            "Weather: the water stood {} {side} the prediction on {} {} {} ({}). {carried}",
            u.height(Length::of_m(m.abs())),
            when::day(zone.to_datetime(r.at).date()),
            when::clock(r.at, zone),
            abbreviation(r.at, zone),
            h.whence,
        ));
    }
    if let Some(f) = &w.source.found {
        let (form, kind) = f.reference().form();
        let form =
            if form.is_finite() { format!(" (form number {})", significant(form, 3)) } else { String::new() };
        let rule = match w.nodes {
            Some(NodeRule::Daily) => "every day",
            _ => "once a calendar year, from its middle",
        };
        let follows = match f {
            Found::Station(_) => String::new(),
            Found::Subordinate(_, r) => format!(" Follows {} ({}) by offsets.", r.name, r.id),
        };
        all.push(format!(
            "Tide: {kind}{form}, {} constituents, node factors renewed {rule}.{follows}",
            f.reference().constituents().count()
        ));
        all.extend(f.cautions());
    }
    let url = w.source.found.as_ref().map(Found::url).filter(|u| !u.is_empty());
    let url = url.map_or_else(String::new, |u| format!(" {u}"));
    all.push(format!("{} ({}). {}{url}", about.source, about.licence, about.attribution));
    all
}
