//! Golden lines of the models, on the shipped packs.

use crate::lines::Lines;
use tailrope::Result;
use tailrope::facts::{Band, Known, PackText};
use tailrope::fight::{
    Angler, AtHand, EndPart, Fights, Fish, Limits, LinePiece, Outfit, Pack, Part, People, Setup, Strength,
    chunks,
};
use tailrope::fish::{Event, FishLength, Hook, HookPlace, HookStyle, SpeciesPack};
use tailrope::hold::{
    Ask, Bait, BaitLies, Bit, HoldPack, Packs, Profile, Question, Sinker, SinkerSet, Typed, Waves,
};
use tailrope::people::footing::footing;
use tailrope::people::{AnglerStand, FootingPack, HarnessHand, Stance};
use tailrope::quantity::{
    Angle, Density, Force, Interval, Length, Mass, Place, Pressure, Span, Speed, Temperature,
};
use tailrope::sea::surf::{SurfPack, Swell};
use tailrope::sea::tide::{Constituents, Found, NodeRule, Stations, Tide, Turning};
use tailrope::sky::{events, moon_altitude, moon_phases, sky_light};
use tailrope::tackle::boats::{BoatCount, LineLie, crossing};
use tailrope::tackle::rig::{FitAsk, leader_load};
use tailrope::tackle::{LinePiece as TackleLine, LineRole, Material, Rig, Tables, brief};
use tailrope::water::{CT_MONO, Cable, Keep, NormalLaw, Place as Point, Strand, Stream, Velocity, Water};

/// Each model; one that refuses writes its refusal, which then is what is compared.
pub fn all(out: &mut Lines) {
    type Model = fn(&mut Lines) -> Result<()>;
    let models: [(&str, Model); 11] = [
        ("tide", tide),
        ("tide at equal steps", tide_at_steps),
        ("sky", sky),
        ("fish", fish),
        ("people", people),
        ("fight", fight),
        ("water", water),
        ("hold", hold),
        ("rig", rig),
        ("labels", labels),
        ("drag", crate::drag::drag),
    ];
    for (name, model) in models {
        if let Err(e) = model(out) {
            out.say(&format!("{name} refused: {e}"));
        }
    }
}

fn pack(name: &str) -> PackText<'_> {
    let text = match name {
        "stations.toml" => include_str!("../../tailrope/tests/reference/fixtures/stations.toml"),
        "species.toml" => include_str!("../../../data/species.toml"),
        "tackle.toml" => include_str!("../../../data/tackle.toml"),
        "rigs/long-rub.toml" => include_str!("../../../data/rigs/long-rub.toml"),
        "footing.toml" => include_str!("../../../data/footing.toml"),
        "hold.toml" => include_str!("../../../data/hold.toml"),
        "surf.toml" => include_str!("../../../data/surf.toml"),
        _ => include_str!("../../../data/fight.toml"),
    };
    PackText::new(name, text)
}

/// A month around a new year, so that node factors change within it.
fn month() -> Result<Interval> {
    let at = |s: i64| jiff::Timestamp::from_second(s).unwrap_or(jiff::Timestamp::UNIX_EPOCH);
    Interval::new(at(1_797_292_800), at(1_799_884_800))
}

/// Seconds, milliseconds kept.
fn seconds(at: jiff::Timestamp) -> f64 {
    at.duration_since(jiff::Timestamp::UNIX_EPOCH).as_secs_f64()
}

fn tide(out: &mut Lines) -> Result<()> {
    let when = month()?;
    let stations = Stations::read(&pack("stations.toml"))?;
    for station in &stations.stations {
        let tide = Tide::of_station(station, when)?;
        let hourly = when.from().series(jiff::Span::new().hours(1)).take_while(|t| *t < when.to());
        let levels = hourly.map(|t| tide.level(t).map(Length::m)).collect::<Result<Vec<_>>>()?;
        out.put_all(&format!("tide.{}", station.id), levels);
        let turning = tide.turning_points(Turning::Printed);
        out.put_all(&format!("turning.{}", station.id), turning.iter().map(|t| seconds(t.at)));
    }
    Ok(())
}

/// The fast way through the sum, on a place with constituents beyond the agency's, with both node rules.
fn tide_at_steps(out: &mut Lines) -> Result<()> {
    let when = month()?;
    let stations = Stations::read(&pack("stations.toml"))?;
    let Found::Station(station) = stations.get("walvis_bay_na")? else { return Ok(()) };
    for (rule, word) in [(NodeRule::MidYear, "yearly"), (NodeRule::Daily, "daily")] {
        for (which, named) in [(Constituents::All, "all"), (Constituents::Agency, "agency")] {
            let tide = Tide::of_station_by(&station, when, rule, which)?;
            let levels = tide.levels(when.from(), Span::of_min(10.0), 30 * 144)?;
            out.put_all(&format!("levels.{word}.{named}"), levels.into_iter().map(Length::m));
            let turning = tide.turning_points(Turning::All);
            let points = turning.iter().flat_map(|t| [seconds(t.at), t.level.m()]);
            out.put_all(&format!("waters.{word}.{named}"), points);
            let above = tide.above(station.mean_level);
            let spans = above.iter().flat_map(|i| [seconds(i.from()), seconds(i.to())]);
            out.put_all(&format!("above.{word}.{named}"), spans);
        }
    }
    Ok(())
}

fn sky(out: &mut Lines) -> Result<()> {
    let when = month()?;
    for (north, east) in [(26.07, -97.16), (-22.94, 14.5), (69.65, 18.96)] {
        let place = Place::of_deg(north, east)?;
        let list = events(place, when)?;
        out.put_all(&format!("sky.{north},{east}"), list.iter().map(|e| seconds(e.at)));
        let six_hourly = || when.from().series(jiff::Span::new().hours(6)).take_while(|t| *t < when.to());
        let moon =
            six_hourly().map(|t| moon_altitude(place, t).map(Angle::rad)).collect::<Result<Vec<_>>>()?;
        out.put_all(&format!("moon.{north},{east}"), moon);
        let lux =
            six_hourly().map(|t| sky_light(place, t).map(|l| l.clear_sky_lux)).collect::<Result<Vec<_>>>()?;
        out.put_all(&format!("lux.{north},{east}"), lux);
    }
    out.put_all("phases", moon_phases(when)?.iter().map(|(t, _)| seconds(*t)));
    Ok(())
}

fn fish(out: &mut Lines) -> Result<()> {
    let species = SpeciesPack::load(&pack("species.toml"))?;
    for s in species.all().iter().chain([species.unknown_shark()]) {
        let upper = species.likely_upper(s);
        let mass = s.mass_at(upper).map_or(-1.0, |m| m.heavy.kg());
        let deaths = [5.0, 25.0, 100.0].into_iter().flat_map(|min| {
            [Hook::Style(HookStyle::Circle), Hook::At(HookPlace::Deep)].into_iter().flat_map(move |hook| {
                let e = Event {
                    air: Span::of_min(0.1 * min),
                    held: Span::of_min(3.0),
                    ..Event::fought(Span::of_min(min), Temperature::of_c(26.0), hook)
                };
                let Band { low, central, high } = s.survival.death(&e);
                [low, central, high]
            })
        });
        out.put_all(&format!("fish.{}", s.id), [upper.length.m(), mass].into_iter().chain(deaths));
    }
    let bull = species.find("bull")?;
    out.put(
        "bull.fork",
        bull.convert(FishLength::total(Length::of_m(2.4)), tailrope::fish::LengthKind::Fork)?
            .value
            .length
            .m(),
    );
    Ok(())
}

fn people(out: &mut Lines) -> Result<()> {
    let pack = FootingPack::read(pack("footing.toml"))?;
    for stance in Stance::ALL {
        for kg in [60.0, 92.0] {
            let stand =
                AnglerStand { stance, slope: Angle::of_deg(1.2), ..AnglerStand::new(Mass::of_kg(kg)) };
            let borne = footing(&pack, &stand, &[HarnessHand::drilled(Mass::of_kg(80.0))])?.planned;
            let limits = [borne.alone.limits, borne.best().limits];
            let all = limits.into_iter().flat_map(|l| [l.tip, l.slip, l.back]).flatten().map(Force::n);
            out.put_all(&format!("footing.{}.{kg}", stance.word()), all);
            let tired = AnglerStand { after: Span::of_min(35.0), ..stand };
            let tired = footing(&pack, &tired, &[HarnessHand::drilled(Mass::of_kg(80.0))])?.planned;
            let band = tired.best().band;
            out.put_all(
                &format!("footing.after.{}.{kg}", stance.word()),
                [band.low, band.central, band.high].map(Force::n),
            );
        }
    }
    let m = Length::of_m;
    let count = |per_hour| BoatCount { per_hour, watched: Span::of_h(7.0), width: m(420.0) };
    let lie = LineLie { tip_up: m(1.4), distance: m(420.0), bait_depth: Known::Known(m(7.0)), floats: false };
    for per_hour in [0.0, 0.3, 2.0] {
        let c = crossing(&lie, &count(per_hour), Span::of_h(5.5), m(1.5))?;
        out.put_all(&format!("boats.{per_hour}"), [c.chance.low, c.chance.central, c.chance.high]);
    }
    Ok(())
}

/// A wide lever-drag reel, HMPE and a topshot, a bull shark: the kind of fight that everything else leads to.
fn setup(pack: &Pack) -> Setup {
    let mono = |name: &str, mm: f64, lb: f64, m: f64, wet| LinePiece {
        name: name.into(),
        length: Some(Length::of_m(m)),
        diameter: Length::of_mm(mm),
        packing: if wet { 0.785 } else { 0.70 },
        skin_factor: if wet { 1.0 } else { 1.5 },
        strength: Strength::Label { label: Force::of_lbf(lb), wet },
    };
    let band =
        |a: f64, b: f64, c: f64| Band { low: Force::of_n(a), central: Force::of_n(b), high: Force::of_n(c) };
    let angler = Angler { power_factor: 1.0, hold: Some(band(220.0, 300.0, 380.0)) };
    Setup {
        fish: Fish {
            length: Band { low: Length::of_m(1.5), central: Length::of_m(1.9), high: Length::of_m(2.2) },
            mass: Mass::of_kg(110.0),
            mass_exponent: 3.0,
            mass_factor: 1.25,
            behaviour: pack.behaviour("bull"),
        },
        outfit: Outfit {
            radius: Length::of_mm(60.0),
            arbor: Length::of_mm(25.0),
            width: Length::of_mm(65.0),
            line: vec![
                mono("topshot", 1.45, 200.0, 100.0, true),
                mono("main line", 0.72, 200.0, 850.0, false),
            ],
            max_drag: Force::of_lbf(60.0),
            drag: Force::of_lbf(28.0),
            strike_share: Some(0.75),
            start_up: 1.15,
            guide: None,
            gear_high: 3.0,
            gear_low: 1.5,
            card: Vec::new(),
        },
        ends: vec![
            EndPart { name: "leader".into(), strength: Strength::Usual, trailing: Length::of_m(5.0) },
            EndPart {
                name: "hook".into(),
                strength: Strength::Band(band(900.0, 1200.0, 1500.0)),
                trailing: Length::ZERO,
            },
        ],
        bait: Length::of_m(250.0),
        people: People {
            angler,
            relief: None,
            lever_delay: Span::of_s(3.0),
            crew_hold: None,
            landing_factor: 1.0,
        },
        limits: Limits {
            fight: Span::of_min(45.0),
            no_gain: Span::of_min(10.0),
            end: Span::of_min(120.0),
            cut_at_once: false,
            drag_cap: Force::of_lbf(34.0),
        },
        at_hand: AtHand { always_cut: false, unhook_within: Span::of_min(5.0) },
        step: Setup::STEP,
        only: None,
    }
}

fn fight(out: &mut Lines) -> Result<()> {
    let pack = Pack::read(&pack("fight.toml"))?;
    let fights = Fights::new(&pack, setup(&pack), 1)?;
    let all = Part::merge(chunks(512).map(|range| fights.chunk(range)));
    out.put_all("fight.minutes", all.endings.iter().map(|e| e.minutes));
    out.put_all("fight.line_out_m", all.endings.iter().map(|e| e.line_out_m));
    out.put_all("fight.peak_n", all.endings.iter().map(|e| e.peak_n));
    out.put_all("fight.trailing_m", all.endings.iter().map(|e| e.trailing_m));
    out.put_all("fight.to_hand", all.endings.iter().map(|e| f64::from(u8::from(e.ended.to_hand()))));
    Ok(())
}

fn water(out: &mut Lines) -> Result<()> {
    let m = Length::of_m;
    let strand = Strand::new(Length::of_mm(0.9), Density::of_kg_m3(1140.0), Pressure::of_gpa(2.0))?;
    let cable = Cable { strand, normal: NormalLaw::Cylinder { strum: 1.5 }, ct: CT_MONO };
    let level = Velocity::level(Speed::of_mps(0.1), Speed::of_mps(0.5));
    let stream = Stream::slackening(Water::sea_at(Temperature::of_c(21.0)), level, m(3.0))?;
    let (rod, sinker) = (Point::new(m(0.0), m(0.0), m(3.0)), Point::new(m(120.0), m(10.0), m(-3.0)));
    let kept = cable.kept_at(sinker, rod, Force::of_n(40.0), &stream)?;
    let along = kept.points.iter().flat_map(|p| [p.place.x.m(), p.place.y.m(), p.place.z.m(), p.tension.n()]);
    out.put_all("cable.kept", along);
    out.put("cable.length", kept.length.m());
    Ok(())
}

/// Spools behind labels, and what they make of a drag.
fn labels(out: &mut Lines) -> Result<()> {
    let tables = Tables::read(&pack("tackle.toml"))?;
    for words in [
        "spinning, label 340m of 65lb braid, label 300m of 0.5mm mono, 65lb braid",
        "casting, label 250yd of 20lb mono, 20lb mono",
        "80W, 0.9 mm mono, ring guides",
        "9/0, 130lb braid, 200lb mono topshot 50m",
    ] {
        let outfit = brief(words, &tables)?;
        let b = outfit.loaded_band(&tables)?;
        let line = b.planned.line_length();
        let growth = b.growth(line * 0.7);
        let fill = b.planned.under_fill();
        let radius = b.planned.full_radius().m();
        let last = fill.growth_last_fifth;
        out.put_all(words, [line.m(), growth.low, growth.central, growth.high, last, radius]);
    }
    Ok(())
}

/// A bait of two pieces of line in waves, in a current that turns.
fn hold(out: &mut Lines) -> Result<()> {
    let m = Length::of_m;
    let (tables, rows) = (Tables::read(&pack("tackle.toml"))?, HoldPack::read(&pack("hold.toml"))?);
    let surf = SurfPack::read(&pack("surf.toml"))?;
    let run: Typed = "0h:-0.1m/s,1h:0.25m/s,2h:0.1m/s".parse()?;
    let soak = Span::of_h(2.0);
    let flows = run.over(soak)?;
    let (along, out_to_sea) = Question::strongest(&flows);
    let bit = |material, mm, l| Bit { material, diameter: Length::of_mm(mm), length: m(l) };
    let question = Question {
        ask: Ask {
            distance: m(140.0),
            depth: Known::Known(m(5.0)),
            tip: Known::Known(m(3.0)),
            keep: Keep::Tension(Force::of_n(14.0)),
            line: vec![bit(Material::Nylon, 1.2, 20.0), bit(Material::HmpeBraid, 0.5, 1.0)],
            bait: Bait { size: "300x80mm".parse()?, lies: BaitLies::NoseOn },
            along,
            out: out_to_sea,
            profile: Profile::Slackening,
            strum: Known::Unknown,
            water: Water::SEA,
        },
        sinker: Sinker {
            mass: Known::Known(Mass::of_g(170.0)),
            wires: Known::Known(4),
            set: Known::Known(SinkerSet::Well),
            pull_test: Known::Unknown,
        },
        waves: Some(Waves { swell: Swell::square_on(m(0.6), Span::of_s(8.0))?, soak }),
        waves_unknown: false,
        flows: Some(flows),
        soak: Known::Known(soak),
        line_on_reel: Known::Known(m(600.0)),
        either_side: false,
        clear: m(300.0),
        bathers_at: Known::Known(m(120.0)),
        next_rod_at: Known::Unknown,
    };
    let r = question.report(Packs { tackle: &tables, hold: &rows, surf: &surf.bait })?;
    let n = |k: Known<Force>| k.get().map_or(-1.0, Force::n);
    out.put_all("hold.load", [n(r.load.low), n(r.load.central), n(r.load.high)]);
    if let Known::Known(g) = r.grip {
        out.put_all("hold.grip", [g.hold.low.n(), g.hold.central.n(), g.hold.high.n()]);
    }
    if let Some(h) = r.lying.central() {
        out.put_all("hold.lies", [h.belly.m(), h.arrives.deg(), h.line_out.m(), h.level.n(), h.uplift.n()]);
    }
    if let Some(t) = &r.through {
        out.put_all("hold.through", t.steps.iter().map(|s| n(s.load.central)));
    }
    if let Some(w) = &r.walked {
        let rest = w.worst.or(w.middle).map_or([0.0; 3], |d| [d.along.m(), d.off.m(), d.way.m()]);
        out.put_all(
            "hold.walk",
            [w.reach.circle.m(), w.reach.along.m(), w.reach.back.m()].into_iter().chain(rest),
        );
    }
    Ok(())
}

/// A shipped rig: what each part bears, what to cut, how heavy it is, where the hand is, what flies back.
fn rig(out: &mut Lines) -> Result<()> {
    let tables = Tables::read(&pack("tackle.toml"))?;
    let rig = Rig::read(&pack("rigs/long-rub.toml"))?;
    let pull = Force::of_n(125.0);
    let made = rig.made(&tables, Known::Known(leader_load(&tables, pull)))?;
    out.put_all("rig.bears", made.parts.iter().map(|p| p.capacity.get().map_or(-1.0, Force::n)));
    out.put_all("rig.margin", made.margin.get().into_iter().chain(made.margin_if_bad_sleeves.get()));
    let list = rig.cut_list(&tables);
    out.put_all("rig.cut", list.cuts.iter().map(|c| c.cut.get().map_or(-1.0, Length::m)));
    let price = list.price.map_or([-1.0, -1.0], |p| [p.low, p.high]);
    out.put_all("rig.mass", [list.mass_of_known.kg(), list.waste.m()].into_iter().chain(price));
    let line = TackleLine::new(
        LineRole::Main,
        Length::of_m(300.0),
        Material::Nylon,
        Force::of_lbf(80.0),
        Length::of_mm(0.9),
    );
    let fit = rig.fit(&tables, &FitAsk { pull: Some(pull), line: vec![line], ..FitAsk::default() })?;
    let hands = fit
        .hand
        .iter()
        .flat_map(|h| [h.in_air.m(), h.to_hand.m(), h.to_water.m(), h.to_hook.get().map_or(-1.0, Length::m)]);
    out.put_all("rig.hand", hands);
    let flies = fit.fliers.iter().flat_map(|w| [w.near, w.snagged]);
    out.put_all("rig.flies", flies.map(|e| e.get().map_or(-1.0, tailrope::quantity::Energy::j)));
    Ok(())
}
