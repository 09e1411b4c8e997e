//! The reading of a beach as a page: people first, bait last.

use super::{Found, Surf};
use crate::desk::Desk;
use crate::layout::Page;
use tailrope::facts::{Band, Figure, Grade, Known};
use tailrope::outing::Verdict;
use tailrope::quantity::{Length, Span, Speed, Units, significant};
use tailrope::sea::air::Minutes;
use tailrope::sea::surf::{Drift, Footing, Form, Governs, PeriodFrom, Reading, Stander, breakers_by_eye};

type Pairs = Vec<(String, String)>;

/// Grade and source behind a number.
fn of(grade: Grade, source: &str) -> String {
    format!("[{}: {source}]", grade.word())
}

fn heights(u: Units, f: &Figure<Band<Length>>) -> String {
    let b = f.value;
    format!(
        "{} ({} to {}) {}",
        u.height(b.central),
        u.height(b.low),
        u.height(b.high),
        of(f.grade, &f.source)
    )
}

fn currents(u: Units, f: &Figure<Band<Speed>>) -> String {
    let b = f.value;
    let band = if b.low == b.high {
        u.current(b.central)
    } else {
        format!("{} ({} to {})", u.current(b.central), u.current(b.low), u.current(b.high))
    };
    format!("{band} {}", of(f.grade, &f.source))
}

/// A depth at somebody's legs: inches, or metres to the centimetre.
fn at_the_legs(u: Units, l: Length) -> String {
    if u == Units::Us { u.size(l) } else { format!("{:.2} m", l.m()) }
}

fn percent(p: f64) -> String {
    // Never a certainty.
    match p * 100.0 {
        x if x < 1.0 => "below 1 %".to_owned(),
        x if x > 99.0 => "above 99 %".to_owned(),
        x => format!("{} %", significant(x, 2)),
    }
}

fn governs_words(g: Governs) -> &'static str {
    match g {
        Governs::Nothing => "within the limit",
        Governs::Flow => "depth times speed is too much",
        Governs::Knee => "deeper than the knee",
        Governs::Speed => "too fast at any depth",
    }
}

fn minutes(m: Option<Minutes>) -> String {
    let say =
        |x: f64| if x < 90.0 { format!("{x:.0} min") } else { format!("{} h", significant(x / 60.0, 2)) };
    match m {
        None => "not limited by cold".to_owned(),
        Some(Minutes { least, most: Some(most) }) if least <= 0.0 => format!("less than {}", say(most)),
        Some(Minutes { least, most: Some(most) }) => format!("{} to {}", say(least), say(most)),
        Some(Minutes { least, most: None }) => format!("{} and more", say(least)),
    }
}

impl Surf {
    pub(super) fn page(&self, desk: &Desk, found: &Found<'_>) -> String {
        let u = desk.units;
        let mut page = desk.page();
        page.say(&self.title(u, found));
        self.heard(&mut page);
        self.people(&mut page, u, found);
        wash(&mut page, u, found, self.sloped());
        breakers(&mut page, u, &found.reading);
        Self::currents(&mut page, u, found);
        depths(&mut page, u, &found.reading);
        self.air(&mut page, u, found);
        let against: Vec<String> = found
            .verdicts
            .iter()
            .filter(|(j, _)| j.verdict != Verdict::Go)
            .map(|(j, says)| {
                let word = if j.verdict == Verdict::Stop { "STOP" } else { "Caution" };
                format!("{word}: {says}. {} {}", sentence(&j.row.remedy), of(j.row.grade, &j.row.source))
            })
            .collect();
        page.head("What the limits say").points(against);
        let open: Vec<&str> = [
            (self.wind.is_none(), "wind"),
            (self.water.is_none(), "water temperature"),
            (found.weather.heat.is_none(), "heat"),
        ]
        .into_iter()
        .filter_map(|(open, name)| open.then_some(name))
        .collect();
        if !open.is_empty() {
            page.points([format!("Not known, so held against no row: {}.", open.join(", "))]);
        }
        page.into_text()
    }

    fn title(&self, u: Units, found: &Found<'_>) -> String {
        let r = &found.reading;
        let trains: Vec<String> = r
            .trains
            .iter()
            .map(|t| {
                let from = if found.shore.angle_known {
                    format!(" from {} off square", u.angle(t.swell.off_normal()))
                } else {
                    String::new()
                };
                format!("{} at {} s{from}", u.height(t.swell.height()), significant(t.swell.period().s(), 3))
            })
            .collect();
        let judged = self.breakers.and_then(|b| breakers_by_eye(b, &found.pack.measured).ok());
        let eye = judged.map_or_else(String::new, |b| {
            format!(
                "Breakers {} by eye ({} to {}), planned on the high end. ",
                u.height(b.central),
                u.height(b.low),
                u.height(b.high)
            )
        });
        let sea = match (trains.len(), self.hs2.is_some()) {
            (0, _) if judged.is_some() => {
                let mut open = Vec::new();
                if found.counted.is_none() && self.period.is_none() {
                    open.push("the period (--waves 8:1min)");
                }
                if !self.sloped() {
                    open.push("the slope (--slope 1:50)");
                }
                format!(
                    "The waves offshore are not known without {}: no depth is safe to name, and nothing here says go.",
                    open.join(" and ")
                )
            }
            (0, _) => {
                "The waves are not known: no depth is safe to name, and nothing here says go.".to_owned()
            }
            (1, _) => format!("Waves {} offshore.", trains.join("")),
            (_, false) if !r.mixed && self.period.is_none() && self.waves.is_some() => format!(
                "Waves {} offshore, by the ends of the crew's count. Planned on the worse.",
                trains.join(" or ")
            ),
            (_, false) if !r.mixed => format!(
                "Waves {}: as said, and by the long end of the crew's count. Planned on the worse.",
                trains.join(" or ")
            ),
            (_, true) => format!("Mixed sea: {}. Their heights add up.", trains.join(" and ")),
            (_, false) => format!(
                "Mixed sea, a peak that jumps: {}. Planned on the worse, never on a mean.",
                trains.join(" or ")
            ),
        };
        let s = |t: Span| significant(t.s(), 3);
        let counted = found.counted.map_or_else(String::new, |(mean, peak)| {
            let taken = match trains.len() {
                0 => "",
                1 => "; the long end is taken",
                _ => "; the long end is reckoned with",
            };
            format!(
                " Counted {} s from crest to crest, which is a peak period of {} to {} s{taken}.",
                s(mean.central),
                s(peak.low),
                s(peak.high)
            )
        });
        let period = match found.period_from {
            Some(PeriodFrom::Both) => {
                format!("{counted} That does not agree with the period said: both are shown.")
            }
            _ => counted,
        };
        let flat = if r.nearly_flat {
            " Nearly flat: calm now is not calm tonight. Swell and wind can come within the hour; look again \
             before anybody walks in."
        } else {
            ""
        };
        format!("{eye}{sea}{period}{flat}")
    }

    /// What the files say, and what they do not.
    fn heard(&self, page: &mut Page) {
        let f = &self.files;
        if !f.read {
            return;
        }
        page.head(&format!("From the files, read at {} ({})", f.at, f.zone));
        if f.figures.is_empty() {
            page.say("  nothing that speaks of this moment");
        }
        let mut sources: Vec<&str> = Vec::new();
        for x in &f.figures {
            if !sources.contains(&x.source.as_str()) {
                sources.push(&x.source);
            }
        }
        for source in sources {
            page.under("  ", &format!("{source}:"));
            let of = f.figures.iter().filter(|x| x.source == source);
            let pairs: Pairs = of.map(|x| (format!("  {}", x.name), x.words())).collect();
            page.pairs(&pairs);
        }
        let mut points: Vec<String> = f.remarks.iter().map(|r| sentence(r)).collect();
        if !f.unknown.is_empty() {
            points.push(format!("Unknown, and not taken as calm or mild: {}.", f.unknown.join(", ")));
        }
        points.extend(f.notes.iter().cloned());
        page.points(points);
    }

    fn people(&self, page: &mut Page, u: Units, found: &Found<'_>) {
        let r = &found.reading;
        page.head("Standing in the water");
        let dark = found.shore.dark != Known::Known(false);
        let mut pairs: Pairs = Vec::new();
        for s in &r.handlers {
            pairs.push((s.name.clone(), deepest(u, s)));
            for a in &s.at {
                let words = if a.standing.within() {
                    governs_words(Governs::Nothing).to_owned()
                } else {
                    format!("NOT THERE: {}", governs_words(a.standing.governs))
                };
                let met = if r.trains.is_empty() { ", before any wave" } else { "" };
                pairs.push((
                    format!("  in {}", at_the_legs(u, a.still)),
                    format!(
                        "{words}. Water {} deep at {}{met}: {} m2/s of {}; bears {} there.",
                        at_the_legs(u, a.depth),
                        u.current(a.speed),
                        significant(a.standing.flow_m2_s, 3),
                        significant(a.standing.limit_m2_s, 3),
                        u.current(a.bears),
                    ),
                ));
            }
        }
        page.pairs(&pairs);
        if self.wader.is_empty() {
            let b = &found.pack.unknown;
            page.say(&format!(
                "That is for somebody of {} and {}: name your own, as --wader leader:1.80m,85kg.",
                u.size(b.body_height.value),
                u.mass(b.body_mass.value)
            ));
        }
        if let Some(s) = r.handlers.first() {
            page.say(&of(s.limit_m2_s.grade, &s.limit_m2_s.source));
        }
        let mut points = Vec::new();
        match found.shore.dark {
            Known::Unknown => points.push("Nobody said day or night: it counts as dark, with poor footing."),
            Known::Known(true) => points.push("Dark: poor footing is taken."),
            Known::Known(false) => {}
        }
        if dark {
            points.push(
                "Nobody stands in the water alone at night, whatever the numbers; no waders that can fill.",
            );
        }
        points.push(
            "A fish's pull comes on top. Eyes on the sea: the numbers know no hole, no bar, no backwash.",
        );
        page.points(points);
    }

    fn currents(page: &mut Page, u: Units, found: &Found<'_>) {
        let r = &found.reading;
        page.head("Moving water");
        let mut pairs: Pairs = Vec::new();
        pairs.push(("along".into(), currents(u, &r.along)));
        if let Some(f) = r.along_reckoned.as_ref().filter(|f| r.along != **f) {
            pairs.push(("  reckoned".into(), currents(u, f)));
        }
        if matches!(found.shore.wind_along, Drift::EitherWay(_)) {
            pairs.push((
                String::new(),
                "The wind counts as blowing along, either way: say whence with --wind-angle.".into(),
            ));
        }
        pairs.push(("out".into(), currents(u, &r.out)));
        if let Some(rip) = r.rip.as_ref() {
            let b = rip.chance.value;
            let number = if b.low == b.high {
                format!("{:.2}", b.central)
            } else {
                format!("{:.2} ({:.2} to {:.2})", b.central, b.low, b.high)
            };
            let mut said = Vec::new();
            if rip.deep_water_used {
                said.push(
                    "the deep-water height stands in for that at the 5 m line, which costs half its worth",
                );
            }
            if !rip.level_known {
                said.push("level about mean sea not known; low water is worse");
            }
            if !rip.event_known {
                said.push("nobody said whether a sea above 1 m peaked within 72 h");
            }
            let remarks = if said.is_empty() { String::new() } else { format!(" {}.", said.join("; ")) };
            pairs.push((
                "rips".into(),
                format!(
                    "likelihood {number}; the word for it comes from the official outlook.{} {}",
                    upper(&remarks),
                    of(rip.chance.grade, &rip.chance.source)
                ),
            ));
        }
        if let Some(s) = r.set_wave.as_ref() {
            pairs.push((
                "set waves".into(),
                format!(
                    "{} ({} to {}) for one above {} offshore in {}; the highest of {} waves is {} on average. \
                     Waves come in groups: after one big wave expect more, and a lull promises nothing.",
                    percent(s.chance.central),
                    percent(s.chance.low),
                    percent(s.chance.high),
                    u.height(s.height),
                    u.span(s.landing),
                    significant(s.waves, 2),
                    u.height(s.mean_highest),
                ),
            ));
        }
        page.pairs(&pairs);
    }

    fn air(&self, page: &mut Page, u: Units, found: &Found<'_>) {
        let w = &found.weather;
        let mut pairs: Pairs = Vec::new();
        if let (Some(t), Some(i)) = (self.water, &w.immersion) {
            let shock = if i.cold_shock { " Gasping at the first contact is likely." } else { "" };
            pairs.push((
                "water".into(),
                format!(
                    "{}: exhausted in {}, alive afloat for {}; without a float far less.{shock} {}",
                    u.temperature(t),
                    minutes(i.exhaustion),
                    minutes(i.survival),
                    of(Grade::SecondHand, "US Search and Rescue Task Force table")
                ),
            ));
        }
        if let Some(t) = w.chill {
            pairs.push((
                "wind chill".into(),
                format!(
                    "{}; worse in wet clothes {}",
                    u.temperature(t),
                    of(Grade::Recalled, "US and Canada 2001")
                ),
            ));
        }
        if let Some(t) = w.heat {
            pairs.push((
                "heat index".into(),
                format!(
                    "{} in the shade; full sun adds up to 8 C {}",
                    u.temperature(t),
                    of(Grade::Recalled, "Rothfusz 1990")
                ),
            ));
        }
        let thunder = w.flash_away.is_some() || w.come_back.is_some();
        if let Some(d) = w.flash_away {
            pairs.push(("thunder".into(), format!("the flash was {} away.", u.distance(d))));
        }
        if thunder {
            let back = w
                .come_back
                .as_ref()
                .map_or_else(String::new, |t| format!(" Not back before {t}, if no more is heard."));
            pairs.push((
                if w.flash_away.is_some() { "" } else { "thunder" }.into(),
                format!(
                    "Shelter at the first thunder, whatever the distance: rods down, a fish cut, into a hard-topped vehicle; \
                     {:.0} min after the last.{back} {}",
                    w.wait_min,
                    of(Grade::Recalled, "weather service advice")
                ),
            ));
        }
        if !pairs.is_empty() {
            page.head("Cold, heat, thunder").pairs(&pairs);
        }
    }
}

fn deepest(u: Units, s: &Stander) -> String {
    let footing = match s.footing {
        Footing::Poor => "poor footing",
        Footing::Normal => "normal footing",
        Footing::Good => "good footing",
    };
    let limit = format!(
        "limit {} m2/s, {footing}; knee {}",
        significant(s.limit_m2_s.value, 3),
        at_the_legs(u, s.knee)
    );
    match s.deepest {
        Known::Unknown => format!("how deep is not known without the waves ({limit})."),
        Known::Known(d) if d.depth < Length::of_cm(5.0) => {
            format!("stays out of the water ({limit}).")
        }
        Known::Known(d) => {
            let why = match d.governs {
                Governs::Knee => "the knee is the limit",
                Governs::Speed => "the water is too fast beyond",
                Governs::Flow | Governs::Nothing => "depth times speed is the limit",
            };
            format!(
                "at most {} of still water: {why} ({limit}). A broken set wave takes the feet from {} on.",
                at_the_legs(u, d.depth),
                at_the_legs(u, d.in_a_bore)
            )
        }
    }
}

fn wash(page: &mut Page, u: Units, found: &Found<'_>, sloped: bool) {
    let r = &found.reading;
    let (Some(dry), Some(run_up)) = (r.dry.as_ref(), r.run_up.as_ref()) else { return };
    page.head("Dry line");
    let pace = found.pack.measured.pace.value;
    let d = dry.dry_reach;
    // Of a wash that was seen the whole error is in the centre already.
    let scatter = if d.high > d.central {
        format!("; with the scatter of the equation {}", u.size(d.high))
    } else {
        String::new()
    };
    let mut pairs: Pairs = vec![(
        "people, gear".into(),
        format!(
            "{} up the beach from the still-water line ({:.0} paces){scatter}.",
            u.size(d.central),
            (d.central / pace).ceil(),
        ),
    )];
    if !dry.still_water.is_unknown() && sloped {
        pairs.push((
            String::new(),
            format!("That is the level {} above the tide's datum.", u.height(dry.line.dry)),
        ));
    }
    pairs.push((
        "run-up".into(),
        if sloped {
            heights(u, run_up)
        } else {
            format!(
                "how high is not known without the slope (--foreshore 1:10) {}",
                of(run_up.grade, &run_up.source)
            )
        },
    ));
    pairs.push((
        "wash".into(),
        format!("one wave in fifty reaches {} up the beach.", u.size(dry.wash_reach.central)),
    ));
    if let Some(seen) = r.run_up_seen.get().filter(|_| sloped) {
        pairs.push((
            "seen".into(),
            format!(
                "{} ({} to {}) [measured: paces to the highest wash]",
                u.height(seen.central),
                u.height(seen.low),
                u.height(seen.high)
            ),
        ));
    }
    if r.trains.len() > 1 {
        for (i, t) in r.trains.iter().enumerate() {
            let taken = if r.governs == Some(i) { ", taken for the dry line" } else { "" };
            pairs.push((
                format!("  {} s", significant(t.swell.period().s(), 3)),
                format!(
                    "run-up {}, breakers {}{taken}",
                    u.height(t.run_up.safe()),
                    u.height(t.breaker.value.central)
                ),
            ));
        }
    }
    page.pairs(&pairs);
    page.say("  The tide table alone is not the water's edge: add the residual, and this.");
}

fn breakers(page: &mut Page, u: Units, r: &Reading) {
    let Some(breaker) = r.breaker.as_ref() else { return };
    page.head("Breakers");
    let mut pairs: Pairs = vec![("height".into(), heights(u, breaker))];
    for t in &r.trains {
        let warning = match t.form {
            Form::Spilling => "much warning, wide surf",
            Form::Plunging => "the falling lip injures hands and necks: no hand between fish and sand",
            Form::Surging => "fast, with a strong backwash: treat it as plunging",
        };
        let name = if r.trains.len() > 1 {
            format!("form, {} s", significant(t.swell.period().s(), 3))
        } else {
            "form".into()
        };
        let xi = if t.similarity.is_finite() { significant(t.similarity, 2) } else { "beyond all".into() };
        pairs.push((
            name,
            format!(
                "{}: {warning} (surf similarity {xi}) {}",
                t.form.word(),
                of(Grade::Recalled, "Battjes 1974")
            ),
        ));
    }
    if let Some(w) = r.surf_width.as_ref() {
        let b = w.value;
        pairs.push((
            "surf zone".into(),
            format!(
                "{} wide ({} to {}) {}",
                u.line(b.central),
                u.line(b.low),
                u.line(b.high),
                of(w.grade, &w.source)
            ),
        ));
    }
    page.pairs(&pairs);
}

fn depths(page: &mut Page, u: Units, r: &Reading) {
    if r.depths.is_empty() {
        return;
    }
    page.head("At the depths asked about");
    let rows: Vec<Vec<String>> = r
        .depths
        .iter()
        .map(|d| {
            vec![
                u.size(d.depth),
                u.height(d.significant.value.central),
                u.height(d.highest.value.central),
                format!(
                    "{}-{}",
                    significant(d.orbital.value.central.mps(), 2),
                    u.current(d.orbital.value.high)
                ),
                u.current(d.undertow.value.central),
                d.bore.map_or_else(|| "unbroken".to_owned(), |b| u.current(b.behind)),
            ]
        })
        .collect();
    page.table(&["depth", "waves", "highest", "to and fro", "out", "behind a bore"], &rows, &[0]);
    page.say("  [recalled: Goda 1975, 2000, heights +-15 %; linear waves at the bed; Svendsen 1984; hydraulic jump]");
    let holds: Vec<String> = r
        .depths
        .iter()
        .filter_map(|d| d.hold.as_ref().map(|h| (d, h)))
        .map(|(d, h)| {
            format!(
                "Bait in {} for {}: the sinker must hold {} at the peak, walks from {}; the line bellies as in a steady {}.",
                u.size(d.depth),
                u.span(h.soak),
                u.current(h.hold),
                u.current(h.creep),
                u.current(h.belly_as)
            )
        })
        .collect();
    page.points(holds);
}

fn sentence(text: &str) -> String {
    let mut c = text.chars();
    c.next().map_or_else(String::new, |f| f.to_uppercase().collect::<String>() + c.as_str() + ".")
}

fn upper(text: &str) -> String {
    let trimmed = text.trim_start();
    if trimmed.is_empty() { String::new() } else { format!(" {}", sentence(trimmed.trim_end_matches('.'))) }
}
