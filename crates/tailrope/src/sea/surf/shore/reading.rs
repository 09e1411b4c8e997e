//! Breakers, wash, currents, set waves and rips of a beach.

use super::super::along::{Drift, along_by_waves};
use super::super::breaker::{
    Breaking, Form, MCCOWAN, Rule, breaker_height, breaking, surf_similarity, surf_width,
};
use super::super::measured::{breakers_by_eye, current_from_floats, run_up_from_wash};
use super::super::pack::SurfPack;
use super::super::random::{Waves, mean_period};
use super::super::rip::rip_chance;
use super::super::run_up::{DryLine, RunUp, dry_line};
use super::super::swell::Swell;
use super::{AtDepth, Sea, Shore, Stander};
use crate::Result;
use crate::facts::{Band, Figure, Grade, Known};
use crate::quantity::{Length, Quantity, Span, Speed};
use serde::Serialize;

/// Share of significant waves in Goda's breaker index.
const SIGNIFICANT: f64 = 0.12;
/// Share of regular waves.
const REGULAR: f64 = 0.17;

/// What one train of waves does.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Train {
    /// In deep water.
    pub swell: Swell,
    /// Height of its breakers: Komar and Gaughan's, with the range of four other rules.
    pub breaker: Figure<Band<Length>>,
    /// Where it breaks, at 0.78 of the depth.
    pub breaking: Breaking,
    /// Surf similarity on the foreshore.
    pub similarity: f64,
    /// How it comes down on the foreshore.
    pub form: Form,
    /// Its run-up.
    pub run_up: RunUp,
}

/// Where the wash comes to and where it is dry.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Dry {
    /// Still-water level it stands on; not known: heights are above still water.
    pub still_water: Known<Length>,
    /// By the planning run-up.
    pub line: DryLine,
    /// Distance up the beach, from the still-water line, that one wave in fifty passes.
    pub wash_reach: Band<Length>,
    /// Distance up the beach from which gear and people stay dry; the high end takes in the scatter of the equation.
    pub dry_reach: Band<Length>,
}

/// Chance of a set wave while people stand in the water.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SetWave {
    /// How long they stand there.
    pub landing: Span,
    /// Waves in that time.
    pub waves: f64,
    /// A set wave is this many significant heights high.
    pub share: f64,
    /// Its height offshore.
    pub height: Length,
    /// Chance of one or more, 0 to 1; the ends come from the mean period.
    pub chance: Band<f64>,
    /// Mean height offshore of the highest in that time.
    pub mean_highest: Length,
}

/// Likelihood of rips: a number. The word low, moderate or high comes from the official outlook only.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Rip {
    /// Chance of hazardous rips, 0 to 1; the ends take in what nobody said.
    pub chance: Figure<Band<f64>>,
    /// Height used.
    pub height: Length,
    /// Whether a deep-water height was used in place of that at the 5 m line: the figure then loses half its worth.
    pub deep_water_used: bool,
    /// Whether the level about mean sea was known.
    pub level_known: bool,
    /// Whether somebody said if a big sea peaked within 72 h.
    pub event_known: bool,
}

/// The whole reading.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[allow(clippy::struct_excessive_bools)] // each says of one figure whether anybody knows it
pub struct Reading {
    /// Whether it is a mixed sea.
    pub mixed: bool,
    /// Whether the sea is nearly flat: what holds of it now says nothing of tonight.
    pub nearly_flat: bool,
    /// Each train by itself.
    pub trains: Vec<Train>,
    /// Which of them the wash is planned on.
    pub governs: Option<usize>,
    /// Height of the breakers of the whole sea: judged by eye, at the high end of the error, or reckoned.
    pub breaker: Known<Figure<Band<Length>>>,
    /// From the water's edge to the outermost break.
    pub surf_width: Known<Figure<Band<Length>>>,
    /// Planning run-up: of the equation's the larger branch, and never below what the crew saw.
    pub run_up: Known<Figure<Band<Length>>>,
    /// The crew's own run-up, from the highest wash seen.
    pub run_up_seen: Known<Band<Length>>,
    /// Wash and dry line.
    pub dry: Known<Dry>,
    /// Current along the beach, size only; unknown counts as the pack says.
    pub along: Figure<Band<Speed>>,
    /// Whether the current along the beach is known at all.
    pub along_known: bool,
    /// The same by the equation; of unknown angle its high end is that of the worst.
    pub along_reckoned: Known<Figure<Band<Speed>>>,
    /// Current out to sea used for standing.
    pub out: Figure<Band<Speed>>,
    /// Whether somebody measured or said it.
    pub out_known: bool,
    /// Set waves.
    pub set_wave: Known<SetWave>,
    /// Rips.
    pub rip: Known<Rip>,
    /// Depths asked about.
    pub depths: Vec<AtDepth>,
    /// Each who may stand in the water.
    pub handlers: Vec<Stander>,
}

impl Shore {
    /// Reads the beach.
    ///
    /// Refuses a sea of no or more than four trains, depths outside 1 cm to 200 m, and measurements that are none.
    pub fn read(&self, pack: &SurfPack) -> Result<Reading> {
        self.sea.check()?;
        let trains: Vec<Train> = self.sea.trains().iter().map(|s| self.train(*s, pack)).collect();
        let run_up_seen = self.run_up_seen(pack)?;
        let run_up = self.run_up(&trains, run_up_seen, pack);
        let along_reckoned = self.along_reckoned(&trains, pack);
        let (along, along_known) = self.along(along_reckoned.as_ref(), pack)?;
        let (out, out_known) = match self.undertow {
            Known::Known(v) => (said(v, "as said"), true),
            Known::Unknown => (named(&pack.unknown.undertow, pack), false),
        };
        let governs = trains
            .iter()
            .enumerate()
            .max_by(|a, b| a.1.run_up.safe().m().total_cmp(&b.1.run_up.safe().m()))
            .map(|(i, _)| i);
        Ok(Reading {
            mixed: trains.len() > 1 && !matches!(self.sea, Sea::Between(_)),
            nearly_flat: [self.sea.height(), self.breakers]
                .into_iter()
                .any(|h| h.get().is_some_and(|h| h < pack.waves.calm.value)),
            governs,
            breaker: self.whole_breaker(&trains, pack)?,
            surf_width: self.width(&trains),
            dry: match run_up.as_ref() {
                Some(r) => Known::Known(self.dry(r.value, pack)),
                None => Known::Unknown,
            },
            run_up: run_up.into(),
            run_up_seen,
            set_wave: self.set_wave(pack)?,
            rip: self.rip(pack),
            depths: self.at_depths(pack, along.value)?,
            handlers: self.standers(pack, along.value, out.value),
            trains,
            along,
            along_known,
            along_reckoned,
            out,
            out_known,
        })
    }

    fn train(&self, swell: Swell, pack: &SurfPack) -> Train {
        let (similarity, form) = surf_similarity(swell, self.foreshore);
        Train {
            swell,
            breaker: self.breaker_of(swell, pack),
            breaking: breaking(swell, Rule::Fixed(MCCOWAN)),
            similarity,
            form,
            run_up: RunUp::of(swell, self.foreshore),
        }
    }

    fn breaker_of(&self, swell: Swell, pack: &SurfPack) -> Figure<Band<Length>> {
        let central = breaker_height(swell);
        let rules = [
            Rule::Fixed(MCCOWAN),
            Rule::Weggel(self.nearshore),
            Rule::Goda(self.nearshore, REGULAR),
            Rule::Goda(self.nearshore, SIGNIFICANT),
        ];
        let rough = pack.waves.breaker_error.value;
        let others = rules.map(|r| breaking(swell, r).height);
        let (low, high) = others.into_iter().fold((central, central), |(l, h), x| (l.min(x), h.max(x)));
        Figure::new(
            Band { low: low * (1.0 - rough), central, high: high * (1.0 + rough) },
            Grade::Recalled,
            "Komar & Gaughan 1972; range of McCowan, Weggel, Goda and the roughness of bars",
        )
    }

    /// Breakers of the whole sea: of trains apart the heights add by their energies, of a jumping peak the higher.
    /// What a crew judged by eye goes before both.
    fn whole_breaker(&self, trains: &[Train], pack: &SurfPack) -> Result<Known<Figure<Band<Length>>>> {
        if let Known::Known(judged) = self.breakers {
            let seen = breakers_by_eye(judged, &pack.measured)?;
            let band = Band { central: seen.high, ..seen };
            let grade = pack.measured.breakers_error.grade;
            let source = "judged by eye, at the high end of its error";
            return Ok(Known::Known(Figure::new(band, grade, source)));
        }
        let Some(first) = trains.first() else { return Ok(Known::Unknown) };
        let of = |pick: fn(&Band<Length>) -> Length| {
            let all = trains.iter().map(|t| pick(&t.breaker.value).m());
            Length::of_m(self.together(all))
        };
        let band = Band { low: of(|b| b.low), central: of(|b| b.central), high: of(|b| b.high) };
        Ok(Known::Known(Figure::new(band, first.breaker.grade, first.breaker.source.clone())))
    }

    /// Heights of all trains together.
    fn together(&self, heights: impl Iterator<Item = f64>) -> f64 {
        match self.sea {
            Sea::Jumping(_) | Sea::Between(_) => heights.fold(0.0, f64::max),
            Sea::Unknown | Sea::Apart(_) => heights.map(|h| h * h).sum::<f64>().sqrt(),
        }
    }

    fn width(&self, trains: &[Train]) -> Known<Figure<Band<Length>>> {
        let width = |t: &Train, rule| surf_width(breaking(t.swell, rule), self.nearshore);
        let all = trains.iter().flat_map(|t| {
            let significant = Rule::Goda(self.nearshore, SIGNIFICANT);
            [width(t, Rule::Fixed(MCCOWAN)), width(t, Rule::Weggel(self.nearshore)), width(t, significant)]
        });
        let central = trains.iter().map(|t| width(t, Rule::Fixed(MCCOWAN))).reduce(Length::max);
        let (Some(central), Some(high)) = (central, all.clone().reduce(Length::max)) else {
            return Known::Unknown;
        };
        let low = all.reduce(Length::min).unwrap_or(central).min(central);
        Known::Known(Figure::new(
            Band { low, central, high },
            Grade::Recalled,
            "depth at the break over an even slope; a bar breaks them farther out",
        ))
    }

    fn run_up_seen(&self, pack: &SurfPack) -> Result<Known<Band<Length>>> {
        // The longest period: it leaves the fewest waves to a watch.
        let longest = self.sea.trains().iter().map(|s| s.period()).reduce(Span::max);
        Ok(match (self.wash, longest) {
            (Known::Known(seen), Some(t)) => {
                Known::Known(run_up_from_wash(seen, self.foreshore, t, &pack.measured)?)
            }
            (Known::Known(seen), None) => {
                // Of an unknown sea as long a swell as there is.
                Known::Known(run_up_from_wash(seen, self.foreshore, Span::of_s(20.0), &pack.measured)?)
            }
            (Known::Unknown, _) => Known::Unknown,
        })
    }

    fn run_up(
        &self,
        trains: &[Train],
        seen: Known<Band<Length>>,
        pack: &SurfPack,
    ) -> Option<Figure<Band<Length>>> {
        let scatter = pack.run_up.scatter.value.central.m();
        let reckoned = (!trains.is_empty()).then(|| {
            let r = self.together(trains.iter().map(|t| t.run_up.safe().m()));
            Band { low: (r - scatter).max(0.0), central: r, high: r + scatter }.map(Length::of_m)
        });
        let equation = "Stockdon 2006, passed by one wave in fifty; scatter recalled";
        match (reckoned, seen.get()) {
            (None, None) => None,
            (Some(r), None) => Some(Figure::new(r, Grade::Published, equation)),
            (Some(r), Some(s)) if r.central >= s.high => {
                let source = format!("{equation}; the wash seen was lower");
                Some(Figure::new(r, Grade::Published, source))
            }
            (_, Some(s)) => {
                let planned = Band { low: s.low, central: s.high, high: s.high };
                Some(Figure::new(
                    planned,
                    Grade::Measured,
                    "paces to the highest wash, at the high end of their error",
                ))
            }
        }
    }

    fn dry(&self, run_up: Band<Length>, pack: &SurfPack) -> Dry {
        let still = self.still_water.get().unwrap_or(Length::ZERO);
        let line = dry_line(still, run_up.central, self.foreshore, &pack.run_up);
        let tan = self.foreshore.tan().max(1e-3);
        let up = |rise: Length| rise.max(Length::ZERO) / tan;
        let spare = run_up.central * pack.run_up.spare.value;
        Dry {
            still_water: self.still_water,
            wash_reach: run_up.map(up),
            dry_reach: Band {
                low: up(spare - (run_up.central - run_up.low)),
                central: line.dry_reach,
                high: up(spare + (run_up.high - run_up.central)),
            },
            line,
        }
    }

    /// Of a mixed sea the train that drives the most; where heights add each with the height of all.
    fn along_reckoned(&self, trains: &[Train], pack: &SurfPack) -> Known<Figure<Band<Speed>>> {
        let error = if self.angle_known {
            Known::Known(self.angle_error.get().unwrap_or(pack.current.angle_error.value))
        } else {
            Known::Unknown
        };
        let whole = self.sea.height().get().unwrap_or(Length::ZERO);
        let size = trains
            .iter()
            .map(|t| {
                let alone = along_by_waves(t.swell, error, self.wind_along, pack).size;
                let high = match self.sea {
                    Sea::Apart(_) if trains.len() > 1 => {
                        along_by_waves(t.swell.as_high_as(whole), error, self.wind_along, pack).size.high
                    }
                    _ => alone.high,
                };
                Band { high, ..alone }
            })
            .reduce(|a, b| Band {
                low: a.low.max(b.low),
                central: a.central.max(b.central),
                high: a.high.max(b.high),
            });
        let Some(size) = size else { return Known::Unknown };
        let angle = match error {
            Known::Known(e) => {
                format!("+-50 %, the waves' angle +-{} deg", crate::quantity::significant(e.deg(), 3))
            }
            Known::Unknown => "its high end at the worst angle of the waves, which nobody said".to_owned(),
        };
        let wind = match self.wind_along {
            Drift::Along(_) => "1 to 3 % of the wind along the beach",
            Drift::EitherWay(_) => "3 % of the wind, which may blow along either way",
            Drift::Unknown => "wind along the beach not known",
        };
        Known::Known(Figure::new(size, Grade::SecondHand, format!("Komar 1979, {angle}; {wind}")))
    }

    fn along(
        &self,
        reckoned: Option<&Figure<Band<Speed>>>,
        pack: &SurfPack,
    ) -> Result<(Figure<Band<Speed>>, bool)> {
        if !self.floats.is_empty() {
            let band = current_from_floats(&self.floats, &pack.measured)?;
            let runs = match self.floats.len() {
                1 => "one run of a float; three are better".to_owned(),
                n => format!("{n} runs of a float"),
            };
            return Ok((Figure::new(band, Grade::Measured, runs), true));
        }
        Ok(match (self.current, reckoned) {
            (Known::Known(v), _) => (said(v, "as said"), true),
            (Known::Unknown, Some(f)) => (f.clone(), self.angle_known),
            (Known::Unknown, None) => (named(&pack.unknown.along, pack), false),
        })
    }

    fn set_wave(&self, pack: &SurfPack) -> Result<Known<SetWave>> {
        let trains = self.sea.trains();
        let Known::Known(height) = self.sea.height() else { return Ok(Known::Unknown) };
        let landing = self.landing.get().unwrap_or(pack.unknown.landing.value);
        landing.within("the time in the water", Span::of_s(10.0), Span::of_h(3.0))?;
        let share = pack.waves.set_share.value;
        let periods = trains.iter().map(|s| s.period());
        let (Some(longest), Some(shortest)) = (periods.clone().reduce(Span::max), periods.reduce(Span::min))
        else {
            return Ok(Known::Unknown);
        };
        let over = |mean: Span| Waves::over(height, mean.max(Span::of_s(0.5)), landing);
        let set = height * share;
        // Shorter waves are more waves: more chances.
        let (few, most) = (over(mean_period(longest))?, over(shortest / 1.4)?);
        let central = over(mean_period(shortest))?;
        Ok(Known::Known(SetWave {
            landing,
            waves: central.count(),
            share,
            height: set,
            chance: Band {
                low: few.chance_over(set),
                central: central.chance_over(set),
                high: most.chance_over(set),
            },
            mean_highest: central.mean_highest(),
        }))
    }

    fn rip(&self, pack: &SurfPack) -> Known<Rip> {
        let deep_water_used = self.at_5_m.is_unknown();
        let Some(height) = self.at_5_m.get().or(self.sea.height().get()) else { return Known::Unknown };
        // Squarer waves are worse; waves of unknown angle count as square.
        let angle = self
            .sea
            .trains()
            .iter()
            .map(|s| s.off_normal())
            .min_by(|a, b| a.deg().abs().total_cmp(&b.deg().abs()))
            .filter(|_| self.angle_known)
            .unwrap_or_default();
        let swing = pack.unknown.level_swing.value;
        let level = match self.about_mean {
            Known::Known(l) => Band::exact(l),
            Known::Unknown => Band { low: swing * -1.0, central: Length::ZERO, high: swing },
        };
        let event = |worst: bool| self.after_big_sea.get().unwrap_or(worst);
        let chance = |level, worst| rip_chance(height, angle, event(worst), level);
        Known::Known(Rip {
            chance: Figure::new(
                Band {
                    low: chance(level.high, false),
                    central: chance(level.central, false),
                    high: chance(level.low, true),
                },
                Grade::Published,
                "Dusek & Seim 2013, the agency's coefficients; fitted at one barred beach",
            ),
            height,
            deep_water_used,
            level_known: !self.about_mean.is_unknown(),
            event_known: !self.after_big_sea.is_unknown(),
        })
    }
}

/// A speed that somebody said, as it stands.
fn said(v: Speed, source: &str) -> Figure<Band<Speed>> {
    Figure::new(Band::exact(Speed::of_mps(v.mps().abs())), Grade::SecondHand, source)
}

/// A figure of the pack with its source written out.
fn named(f: &Figure<Band<Speed>>, pack: &SurfPack) -> Figure<Band<Speed>> {
    Figure::new(f.value, f.grade, format!("not known: {}", pack.cite(&f.source)))
}
