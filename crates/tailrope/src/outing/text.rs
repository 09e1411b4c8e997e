//! The plan as text that a crew lead would read aloud: verdict first, then the reason, then the rest.
//!
//! Lives in the library so that command, sheet and app say the same words. Width is given by the face; no
//! colour, no control codes.

mod hours;

use super::plan::{CardRow, Chance, Plan, RoleView};
use super::verdict::Severity;
use crate::quantity::{Force, Length, Mass, Span, Speed, Temperature, Units};
use core::fmt::Write as _;

/// How many cautions are read out at the top; the rest are counted.
pub const READ_OUT: usize = 3;

/// Words of a text, wrapped to `width` columns, the first line behind `first`, the others behind blanks.
pub fn wrap(text: &str, width: usize, first: &str) -> String {
    let indent = first.chars().count();
    let room = width.max(indent + 20);
    let mut out = String::from(first);
    let mut column = indent;
    let mut begun = false;
    for word in text.split_whitespace() {
        let n = word.chars().count();
        if begun && column + 1 + n > room {
            out.push('\n');
            out.push_str(&" ".repeat(indent));
            column = indent;
            begun = false;
        }
        if begun {
            out.push(' ');
            column += 1;
        }
        out.push_str(word);
        column += n;
        begun = true;
    }
    out.push('\n');
    out
}

/// The word with a capital first letter.
pub fn capital(word: &str) -> String {
    let mut letters = word.chars();
    letters.next().map_or_else(String::new, |c| c.to_uppercase().collect::<String>() + letters.as_str())
}

/// Rows as columns: the first to the left, the others to the right; a two-blank gutter.
pub fn table(head: &[&str], rows: &[Vec<String>], left: &[usize]) -> String {
    let cells = |row: usize, column: usize| -> String {
        if row == 0 {
            head.get(column).map(|s| (*s).to_owned()).unwrap_or_default()
        } else {
            rows[row - 1].get(column).cloned().unwrap_or_default()
        }
    };
    let widths: Vec<usize> = (0..head.len())
        .map(|c| (0..=rows.len()).map(|r| cells(r, c).chars().count()).max().unwrap_or(0))
        .collect();
    let mut out = String::new();
    for r in 0..=rows.len() {
        let mut line = String::from("  ");
        for (c, w) in widths.iter().enumerate() {
            let text = cells(r, c);
            let pad = " ".repeat(w - text.chars().count());
            if c > 0 {
                line.push_str("  ");
            }
            if left.contains(&c) {
                line.push_str(&text);
                line.push_str(&pad);
            } else {
                line.push_str(&pad);
                line.push_str(&text);
            }
        }
        out.push_str(line.trim_end());
        out.push('\n');
    }
    out
}

/// A chance in words: `12 % ± 0.3`.
pub fn chance(c: Chance) -> String {
    let p = c.p * 100.0;
    let e = c.error * 100.0;
    if p >= 9.95 || p == 0.0 { format!("{p:.0} % ± {e:.1}") } else { format!("{p:.1} % ± {e:.1}") }
}

fn heading(out: &mut String, text: &str) {
    let _ = write!(out, "\n{text}\n");
}

/// A value in `unit` as the crew reads it.
fn shown(value: f64, unit: &str, name: &str, units: Units) -> String {
    match unit {
        "N" => units.force(Force::of_n(value)),
        "kg" => units.mass(Mass::of_kg(value)),
        "C" => units.temperature(Temperature::of_c(value)),
        "m/s" if name == "wind" || name == "gusts" => units.wind(Speed::of_mps(value)),
        "m/s" => units.current(Speed::of_mps(value)),
        "km" => units.distance(Length::of_km(value)),
        "m" if ["waves", "breakers", "breaker height", "run-up"].contains(&name) => {
            units.height(Length::of_m(value))
        }
        "m" if value.abs() >= 1000.0 => units.distance(Length::of_m(value)),
        "m" if value.abs() >= 20.0 => units.line(Length::of_m(value)),
        "m" => units.size(Length::of_m(value)),
        "-" => crate::quantity::significant(value, 3),
        _ => format!("{} {unit}", crate::quantity::significant(value, 3)),
    }
}

/// Clock part of a local time with offset.
fn clock(local: &str) -> String {
    super::windows::clock_of(local)
}

/// The whole plan as text.
pub fn render(plan: &Plan, units: Units, width: usize) -> String {
    let width = width.clamp(48, 160);
    let mut out = String::new();
    head(&mut out, plan, width);
    hours::hours(&mut out, plan, units, width);
    tackle(&mut out, plan, units, width);
    footing(&mut out, plan, units, width);
    far_out(&mut out, plan, units, width);
    bait(&mut out, plan, units, width);
    fight(&mut out, plan, units, width);
    crew(&mut out, plan, width);
    findings(&mut out, plan, units, width);
    heading(&mut out, "Brief (read aloud, all repeat)");
    for line in &plan.brief {
        out.push_str(&wrap(line, width, "  "));
    }
    heading(&mut out, "Sources");
    for s in &plan.sources {
        out.push_str(&wrap(&format!("{}: {}", s.id, s.cite), width, "  "));
    }
    heading(&mut out, "Always");
    for line in &plan.always {
        out.push_str(&wrap(line, width, "  "));
    }
    out
}

fn head(out: &mut String, plan: &Plan, width: usize) {
    let word = plan.verdict.word().to_uppercase();
    let n = &plan.night;
    out.push_str(&wrap(&format!("{word}: {}, night of {}, {}", n.name, n.date, n.beach), width, ""));
    let of = |s: Severity| plan.findings.iter().filter(move |f| f.severity == s);
    let (stops, cautions) = (of(Severity::Stop).count(), of(Severity::Caution).count());
    if stops == 0 && cautions == 0 {
        out.push_str(&wrap(
            "Nothing found that forbids or warns. The cautions at the end always hold.",
            width,
            "",
        ));
        return;
    }
    for f in of(Severity::Stop) {
        out.push_str(&wrap(&f.sentence, width, "  stop     "));
        if !f.remedy.is_empty() {
            out.push_str(&wrap(&format!("-> {}", f.remedy), width, "           "));
        }
    }
    for f in of(Severity::Caution).take(READ_OUT) {
        out.push_str(&wrap(&f.sentence, width, "  caution  "));
        if !f.remedy.is_empty() {
            out.push_str(&wrap(&format!("-> {}", f.remedy), width, "           "));
        }
    }
    if cautions > READ_OUT {
        out.push_str(&wrap(
            &format!("and {} more cautions, all under Findings.", cautions - READ_OUT),
            width,
            "           ",
        ));
    }
}

fn tackle(out: &mut String, plan: &Plan, units: Units, width: usize) {
    heading(out, "Tackle");
    let p = &plan.path;
    if p.parts.is_empty() {
        out.push_str(&wrap(
            "The load path cannot be worked out; the findings say what is missing.",
            width,
            "  ",
        ));
    } else {
        out.push_str(&wrap(
            &format!(
                "Weakest: {}, margin {:.2} with a full spool, {:.2} with {} out and the card followed ({:.2} with the lever left alone). Greatest drag that keeps every margin to four fifths of the line: {} at the reel, full spool.",
                p.weakest,
                p.margin_full,
                p.margin_low_spool,
                units.line(Length::of_m(p.worst_line_out_m)),
                p.margin_low_spool_unbacked,
                units.force(Force::of_n(p.greatest_drag_n)),
            ),
            width,
            "  ",
        ));
        let rows: Vec<Vec<String>> = p
            .parts
            .iter()
            .map(|q| {
                vec![
                    q.name.clone(),
                    units.force(Force::of_n(q.capacity_n)),
                    units.force(Force::of_n(q.demand_full_n)),
                    margin(q.margin_full),
                    units.force(Force::of_n(q.demand_worst_n)),
                    margin(q.margin_worst),
                    units.line(Length::of_m(q.trailing_m)),
                    q.grade.word().to_owned(),
                ]
            })
            .collect();
        out.push_str(&table(
            &["part", "bears", "feels full", "margin", "feels worst", "margin", "trails", "grade"],
            &rows,
            &[0, 7],
        ));
    }
    if !plan.drag_card.is_empty() {
        heading(out, "Drag card");
        for s in &plan.drag_settings {
            out.push_str(&wrap(
                &format!("{} {}: {}", s.what, units.force(Force::of_n(s.drag_n)), s.lever),
                width,
                "  ",
            ));
        }
        out.push_str(&card(&plan.drag_card, units));
        out.push_str(&wrap("Each lever place holds until the next row comes into sight.", width, "  "));
        if let Some(m) = plan.card_stop_from_m {
            let text = format!(
                "Never let it come to {} out: no setting keeps the margin there. Cut at the rod before.",
                units.line(Length::of_m(m))
            );
            out.push_str(&wrap(&text, width, "  "));
        }
    }
}

/// A margin, or a stroke for a part that lies on the spool.
fn margin(m: f64) -> String {
    if m.is_finite() { format!("{m:.2}") } else { "-".into() }
}

/// The drag card as a table.
pub fn card(rows: &[CardRow], units: Units) -> String {
    let rows: Vec<Vec<String>> = rows
        .iter()
        .map(|r| {
            let lever = if r.back_off_to < 0.995 {
                format!("back off to {:.0} %", r.back_off_to * 100.0)
            } else {
                "fight".into()
            };
            vec![
                units.line(Length::of_m(r.line_out_m)),
                format!("{:.0} mm", r.spool_depth_mm),
                units.force(Force::of_n(r.drag_tip_n)),
                units.force(Force::of_n(r.drag_hook_n)),
                lever,
                r.seen.clone(),
            ]
        })
        .collect();
    table(&["line out", "below rim", "at the tip", "at the hook", "lever", "what shows"], &rows, &[4, 5])
}

/// A line far out, where there is one.
fn far_out(out: &mut String, plan: &Plan, units: Units, width: usize) {
    let Some(far) = &plan.far_out else { return };
    heading(out, "Line far out");
    let line = |m: f64| units.line(Length::of_m(m));
    let mut text = format!("Bait {} out.", line(far.distance_m));
    if let (Some(most), Some(because)) = (far.wise_m, &far.because) {
        text.push_str(&if most > 0.0 {
            format!(" Beyond {} {because}.", line(most))
        } else {
            format!(" No distance is wise: {because}.")
        });
    }
    if let (Some(chance), Some(rate), Some(hours)) = (far.boat_chance, far.boats_per_h, far.soak_h) {
        text.push_str(&format!(
            " Boats {:.2} an hour ({:.2} to {:.2}) in {hours:.1} h: one over the line with a chance of {:.0} % ({:.0} to {:.0} %).",
            rate.central,
            rate.low,
            rate.high,
            100.0 * chance.central,
            100.0 * chance.low,
            100.0 * chance.high
        ));
    }
    if let (Some(min), Some(warning), Some(stripped)) = (far.wind_in_min, far.warning_s, far.stripped_s) {
        text.push_str(&format!(
            " Winding in takes {}; the lights of a boat leave {} to {}. A boat that takes the line strips the spool in {}: cut at the rod at once.",
            units.span(Span::of_min(min)),
            units.span(Span::of_s(warning.low)),
            units.span(Span::of_s(warning.high)),
            units.span(Span::of_s(stripped))
        ));
    }
    if let Some(n) = far.strike_at_hook_n {
        text.push_str(&format!(
            " A strike of 2 m adds at most {} at the hook: let the hook set itself.",
            units.force(Force::of_n(n))
        ));
    }
    out.push_str(&wrap(&text, width, "  "));
}

fn footing(out: &mut String, plan: &Plan, units: Units, width: usize) {
    let f = &plan.footing;
    heading(out, "Footing");
    if !f.limit_n.is_finite() {
        out.push_str(&wrap(
            "The footing cannot be worked out; the findings say what is missing.",
            width,
            "  ",
        ));
        return;
    }
    let force = |n: f64| units.force(Force::of_n(n));
    out.push_str(&wrap(
        &format!(
            "{} bears {} at the tip ({} first). Allowed: {} at strike, {} at the worst; this plan: {} and {}. Harness hands needed: {}. Toes at least {} above the highest wash.",
            f.angler,
            force(f.limit_n),
            f.governs,
            force(f.cap_strike_n),
            force(f.cap_worst_n),
            force(f.strike_tip_n),
            force(f.worst_tip_n),
            f.needed_harness_hands,
            units.size(Length::of_m(f.dry_distance_m)),
        ),
        width,
        "  ",
    ));
}

/// Where the bait lies and whether it stays.
fn bait(out: &mut String, plan: &Plan, units: Units, width: usize) {
    use crate::hold::Answer;
    let Some(h) = &plan.hold else { return };
    heading(out, "Bait");
    let force = |n: Option<f64>| n.map(|n| units.force(Force::of_n(n)));
    let line = |m: f64| units.line(Length::of_m(m));
    let mut words = format!(
        "{} out in {}",
        line(h.distance_m),
        units.current(crate::quantity::Speed::of_mps(h.current_mps))
    );
    if let (Some(belly), Some(out_m)) = (h.belly_m, h.line_out_m) {
        words += &format!(": the line bellies {}, {} of it is out", line(belly), line(out_m));
    }
    let low = force(h.sinker_load_low_n).unwrap_or_default();
    words += &match force(h.sinker_load_high_n) {
        Some(high) if high == low => format!(". The sinker must bear {high}"),
        Some(high) => format!(". The sinker must bear {low} to {high}"),
        None => format!(". The sinker must bear {low} or more, without bound: the line may stream away"),
    };
    words += &match (force(h.hold_low_n), force(h.hold_high_n)) {
        (Some(low), Some(high)) => format!(" and holds {low} to {high}: "),
        _ => ": ".to_owned(),
    };
    words += match h.answer {
        Answer::Holds => "it stays.",
        Answer::Doubtful => "it may walk.",
        Answer::Walks => "it walks.",
        Answer::Unknown => "nobody knows what the sinker holds.",
    };
    if let Some(far) = h.walk_bound_m {
        words += &format!(" A walked bait gets {} along the beach at most.", line(far));
    }
    out.push_str(&wrap(&words, width, "  "));
}

fn fight(out: &mut String, plan: &Plan, units: Units, width: usize) {
    let f = &plan.forecast;
    heading(out, "Fight");
    let fish = |v: &super::plan::FishView| {
        format!(
            "{}, {}, {} (heavy end {})",
            v.name,
            units.size(Length::of_m(v.length_m)),
            units.mass(Mass::of_kg(v.mass_kg)),
            units.mass(Mass::of_kg(v.heavy_kg))
        )
    };
    out.push_str(&wrap(&fish(&plan.target), width, "  target         "));
    out.push_str(&wrap(&fish(&plan.largest_likely), width, "  largest likely "));
    if f.fights == 0 {
        out.push_str(&wrap("No forecast; the findings say what is missing.", width, "  "));
        return;
    }
    let o = &f.outcomes;
    out.push_str(&wrap(
        &format!(
            "Of {} fights: brought to hand {}, spool empty {}, a part broke {}, hook pulled {}, cut at the rod {}. Angler moved {}.",
            f.fights,
            chance(o.to_hand),
            chance(o.spooled),
            chance(o.parted),
            chance(o.hook_pulled),
            chance(o.cut_at_rod),
            chance(f.angler_moved)
        ),
        width,
        "  ",
    ));
    let min = |m: f64| if m.is_finite() { units.span(Span::of_min(m)) } else { "-".to_owned() };
    let line = |m: f64| units.line(Length::of_m(m));
    let mut text = format!(
        "Minutes {} / {} / {} (10, 50, 90 of 100); line out {} / {} / {}; crew decides at {}.",
        min(f.minutes.p10),
        min(f.minutes.p50),
        min(f.minutes.p90),
        line(f.line_out_m.p10),
        line(f.line_out_m.p50),
        line(f.line_out_m.p90),
        min(f.fight_limit_min)
    );
    if f.trailing_m.p50 > 0.0 {
        let _ = write!(
            text,
            " Lost fish trail {} (middle), {} (90 of 100).",
            line(f.trailing_m.p50),
            line(f.trailing_m.p90)
        );
    }
    out.push_str(&wrap(&text, width, "  "));
    if let Some(d) = f.death_after_release {
        out.push_str(&wrap(
            &format!(
                "Dies after release: {:.0} % (low {:.0}, high {:.0}; a model, not a promise).",
                d.central * 100.0,
                d.low * 100.0,
                d.high * 100.0
            ),
            width,
            "  ",
        ));
    }
    let best = match f.best_drag_n {
        Some(n) => format!(
            "Best drag for this fish and these people: {} at the reel, full spool.",
            units.force(Force::of_n(n))
        ),
        None => "No drag of this outfit is enough for this fish and these people.".to_owned(),
    };
    out.push_str(&wrap(&best, width, "  "));
    for a in &plan.also_likely {
        out.push_str(&wrap(&format!("{}: {}", fish(&a.fish), a.advice), width, "  may come along "));
    }
}

fn crew(out: &mut String, plan: &Plan, width: usize) {
    heading(out, "Crew");
    for phase in &plan.phases {
        let all: Vec<String> = phase
            .roles
            .iter()
            .map(|r: &RoleView| format!("{} {}", r.role, r.person.as_deref().unwrap_or("NOBODY")))
            .collect();
        out.push_str(&wrap(&all.join(", "), width, &format!("  {:<11}", phase.phase)));
    }
    if !plan.kit_missing.is_empty() {
        out.push_str(&wrap(&plan.kit_missing.join("; "), width, "  kit missing "));
    }
}

fn findings(out: &mut String, plan: &Plan, units: Units, width: usize) {
    heading(out, "Findings");
    for f in &plan.findings {
        let first = format!("  {:<8} ", f.severity.word());
        out.push_str(&wrap(&f.sentence, width, &first));
        let mut why: Vec<String> = f
            .because
            .iter()
            .map(|r| format!("{} {} [{}]", r.name, shown(r.value, &r.unit, &r.name, units), r.grade.word()))
            .collect();
        if let Some(rule) = &f.rule {
            // The source of a law stands among the sources; a limit's is short and told here.
            let told = match (f.rule_grade, &f.rule_source, f.topic) {
                (Some(g), Some(source), t) if t != super::verdict::Topic::Law => {
                    format!(" [{}: {source}]", g.word())
                }
                (Some(g), _, _) => format!(" [{}]", g.word()),
                _ => String::new(),
            };
            why.push(format!("rule {rule}{told}"));
        }
        if !why.is_empty() {
            out.push_str(&wrap(&why.join("; "), width, "           "));
        }
        if !f.remedy.is_empty() {
            out.push_str(&wrap(&format!("-> {}", f.remedy), width, "           "));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn wraps_to_the_width_and_indents_what_follows() {
        let t = wrap("one two three four five six seven", 26, "  stop ");
        assert_eq!(t, "  stop one two three four\n       five six seven\n");
        assert!(wrap(&"x".repeat(200), 40, "").len() > 200, "a long word is never cut");
        for line in wrap(&"word ".repeat(60), 50, "   ").lines() {
            assert!(line.chars().count() <= 50);
        }
    }

    #[test]
    fn tables_are_aligned() {
        let t = table(
            &["part", "bears"],
            &[vec!["a".into(), "10 lbf".into()], vec!["long".into(), "5 lbf".into()]],
            &[0],
        );
        assert_eq!(t, "  part   bears\n  a     10 lbf\n  long   5 lbf\n");
    }

    #[test]
    fn chances_show_their_error() {
        assert_eq!(chance(Chance { p: 0.1234, error: 0.003 }), "12 % ± 0.3");
        assert_eq!(chance(Chance { p: 0.0434, error: 0.002 }), "4.3 % ± 0.2");
    }
}
