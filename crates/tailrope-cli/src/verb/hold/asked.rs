//! What was typed, as the library asks it.

use super::Hold;
use crate::answer::Failure;
use crate::desk::Desk;
use crate::verb::night::{Night, facts};
use crate::when;
use jiff::SignedDuration;
use tailrope::facts::Known;
use tailrope::hold::{Ask, Bait, Bit, Flow, HoldPack, Profile, Question, Sinker, Waves, by_tide, of_outfit};
use tailrope::outing::ask::{BaitSea, bait_sea};
use tailrope::outing::limits::{Border, Limits};
use tailrope::outing::{Options, Outing};
use tailrope::quantity::{Angle, Interval, Length, Span, Speed};
use tailrope::sea::surf::{Drift, SurfPack, Swell, along_by_waves};
use tailrope::sea::tide::Tide;
use tailrope::tackle::{Material, Tables};
use tailrope::water::{Keep, Water};
use tailrope::{Error, Result};

/// A piece of line as typed.
#[derive(Clone, Copy, Debug)]
pub struct BitSaid {
    diameter: Length,
    material: Option<Material>,
    length: Option<Length>,
}

/// `0.9mm`, `0.40mm braid`, `1.2mm nylon 20m`.
pub fn bit(text: &str) -> Result<BitSaid> {
    let mut parts = text.split_whitespace();
    let diameter: Length = parts.next().unwrap_or("").parse()?;
    let material = parts.next().map(Material::from_word).transpose()?;
    let length = parts.next().map(str::parse).transpose()?;
    if parts.next().is_some() {
        return Err(Error::new(
            format!("`{}` is no line", text.chars().take(40).collect::<String>()),
            "diameter, material, length",
            "write it like '0.40mm braid' or '1.2mm nylon 20m'",
        ));
    }
    Ok(BitSaid { diameter, material, length })
}

/// A material by its word.
pub fn material(text: &str) -> Result<Material> {
    Material::from_word(text.trim())
}

/// `3m:0.4m/s`.
pub fn layer(text: &str) -> Result<(Length, Speed)> {
    let (depth, speed) = text.split_once(':').ok_or_else(|| {
        Error::new(
            format!("`{}` is no current at a depth", text.chars().take(40).collect::<String>()),
            "depth, a colon, speed",
            "write it like 3m:0.4m/s",
        )
    })?;
    Ok((depth.trim().parse()?, speed.trim().parse()?))
}

/// `1.2m,8s`.
pub fn waves(text: &str) -> Result<(Length, Span)> {
    let (height, period) = text.split_once(',').ok_or_else(|| {
        Error::new(
            format!("`{}` are no waves", text.chars().take(40).collect::<String>()),
            "significant height, a comma, peak period",
            "write it like 1.2m,8s",
        )
    })?;
    Ok((height.trim().parse()?, period.trim().parse()?))
}

/// A place along the beach: down-current unless it says otherwise.
fn along(parts: &[String], flag: &str) -> Result<Known<Length>> {
    let Some(first) = parts.first() else { return Ok(Known::Unknown) };
    let far: Length = first.parse().map_err(|e: Error| e.within(flag))?;
    let back = match parts.get(1).map(|w| w.to_ascii_lowercase().replace([' ', '_'], "-")) {
        None => false,
        Some(w) if w == "down-current" => false,
        Some(w) if w == "up-current" => true,
        Some(w) => {
            return Err(Error::new(
                format!("`{}` is no way along the beach", w.chars().take(20).collect::<String>()),
                "down-current, up-current",
                "say on which side of the rod they are, by the current",
            )
            .within(flag));
        }
    };
    if !(0.0..=20_000.0).contains(&far.m()) {
        return Err(Error::new(
            format!("{} m along the beach", far.m()),
            "0 to 20 km",
            "write the distance, and up-current behind it for the other side",
        )
        .within(flag));
    }
    Ok(Known::Known(if back { far * -1.0 } else { far }))
}

/// A question with what must be said of it.
pub struct Asked {
    /// The question.
    pub question: Question,
    /// Whose tide.
    pub tide: Option<String>,
    /// What was taken from elsewhere, what is not known.
    pub notes: Vec<String>,
}

/// How far from people in the water a bait must stay: the limits of the packs.
fn clear(desk: &Desk) -> std::result::Result<Length, Failure> {
    let text = desk.packs.get("limits.toml")?;
    let limits = Limits::read(&text.text())?;
    let stop = limits.row("bathers.distance_m").and_then(|row| row.stop);
    Ok(Length::of_m(stop.map_or(0.0, Border::at)))
}

/// Puts the flag before an error of the library's own words.
pub fn flagged(e: Error) -> Failure {
    let flag = match e.place.as_str() {
        "distance" => "--distance",
        "depth" => "--depth",
        "tip height" => "--tip-height",
        "current" => "--current",
        "rod tension" => "--rod-tension",
        "line out" => "--line-out",
        "strum" => "--strum",
        "soak" => "--soak",
        _ => return e.into(),
    };
    Error { place: flag.to_owned(), ..e }.into()
}

fn missing(what: &str, flag: &str, example: &str) -> Failure {
    Error::new(format!("{what} is not known"), format!("{flag}, or an outing file that says it"), example)
        .within(flag)
        .into()
}

/// What is to be said where no waves are in the load.
fn of_waves(none: bool, unknown: bool, no_swell: bool) -> Option<String> {
    let what = if no_swell { "the waves (--waves)" } else { "the depth at the bait (--depth)" };
    match (none, unknown) {
        (_, true) => {
            Some(format!("Nobody said {what}: what waves add is not in the load, and nothing surely holds."))
        }
        (true, false) => {
            Some("Nobody said the waves (--waves): the load is that of the current alone.".to_owned())
        }
        _ => None,
    }
}

impl Hold {
    /// The question that the flags and the file put together.
    pub fn asked(
        &self,
        desk: &Desk,
        tables: &Tables,
        pack: &HoldPack,
        surf: &SurfPack,
    ) -> std::result::Result<Asked, Failure> {
        let night = self.night(desk)?;
        let outing = night.as_ref().map(|(n, _)| &n.outing);
        let of_night = night.as_ref().map(|(_, sea)| sea);
        let mut notes = Vec::new();
        let Some(distance) = self.distance.or(outing.and_then(|o| o.bait.distance.get())) else {
            return Err(missing("the distance to the bait", "--distance", "write --distance 180m"));
        };
        let keep = self.keep(outing)?;
        let line = self.bits(outing, tables, distance)?;
        let depth = self.depth.or(outing.and_then(|o| o.bait.depth.get()));
        let (top, profile) = self.profile()?;
        let soak = self.soak.or(outing.and_then(|o| o.bait.soak.get()));
        let swell = self.swell(of_night)?;
        let waves = swell
            .filter(|_| depth.is_some())
            .map(|swell| Waves { swell, soak: soak.unwrap_or(Span::of_h(3.0)) });
        // Of a beach that is named, waves or depth that nobody knows are a doubt; typed figures alone are asked as typed.
        let waves_unknown = waves.is_none() && (outing.is_some() || swell.is_some());
        notes.extend(of_waves(waves.is_none(), waves_unknown, swell.is_none()));
        let of_outing = of_night.and_then(|s| s.along.get());
        let mut current = self.current.or(top).or(of_outing);
        if self.currents.is_none() {
            if self.current.or(top).is_none() && of_outing.is_some() {
                notes.push(
                    "The current is what the plan takes: of all that is typed, reported and driven by the waves the worst."
                        .to_owned(),
                );
            } else if current.is_none()
                && let Some(swell) = swell
            {
                let error: Known<Angle> = self.wave_angle.map(|_| surf.current.angle_error.value).into();
                let driven = along_by_waves(swell, error, Drift::Unknown, surf).size.high;
                notes.push(format!(
                    "Nobody said the current: {} is what such waves drive along a beach at the most; tide and wind are not in it. Time a float.",
                    desk.units.current(driven)
                ));
                current = Some(driven);
            }
        }
        let out = self.out.unwrap_or(Speed::ZERO);
        let (flows, tide) = self.flows(desk, current, out, soak)?;
        let strongest = match (&flows, current) {
            (Some(flows), _) => Question::strongest(flows),
            (None, Some(c)) => (c, out),
            (None, None) => {
                let example = if outing.is_some_and(|o| !o.sea.current.is_unknown()) {
                    "what the file says of the sea is too old for its night, read now: time a float, --current 0.3m/s"
                } else {
                    "time a float: --current 0.3m/s"
                };
                return Err(missing("the current along the beach", "--current", example));
            }
        };
        let size = self.bait.or(outing.and_then(|o| o.bait.size.get()));
        let lies = self.lies.or(outing.and_then(|o| o.bait.lies.get()));
        if size.is_none() {
            notes.push(format!(
                "Nobody said how large the bait is: it counts as {}.",
                Bait::of(Known::Unknown, Known::Unknown, pack).size
            ));
        }
        let tip =
            self.tip_height.or_else(|| outing.filter(|_| depth.is_some()).and_then(|o| o.stand.tip_up.get()));
        let ask = Ask {
            distance,
            depth: depth.into(),
            tip: tip.into(),
            keep,
            line,
            bait: Bait::of(size.into(), lies.into(), pack),
            along: strongest.0,
            out: strongest.1,
            profile,
            strum: self.strum.into(),
            water: Water::SEA,
        };
        let typed = along(&self.bathers_at, "--bathers-at")?;
        let either_side = typed.is_unknown();
        let bathers_at = typed.get().or(outing.and_then(|o| o.beach.bathers.get())).into();
        let question = Question {
            ask,
            sinker: self.sinker_said(outing, pack),
            waves,
            waves_unknown,
            flows,
            soak: soak.into(),
            line_on_reel: outing
                .and_then(|o| o.outfit.first())
                .filter(|_| self.line.is_empty())
                .map(|f| f.line.iter().fold(Length::ZERO, |all, piece| all + piece.length))
                .into(),
            bathers_at,
            either_side,
            clear: match of_night {
                Some(s) => s.clear,
                None => clear(desk)?,
            },
            next_rod_at: along(&self.next_rod_at, "--next-rod-at")?,
        };
        Ok(Asked { question, tide, notes })
    }

    /// The outing, and its sea as the plan takes it.
    fn night(&self, desk: &Desk) -> std::result::Result<Option<(Night, BaitSea)>, Failure> {
        if self.file.is_none() && desk.demo.is_none() {
            return Ok(None);
        }
        let night = Night::read(self.file.as_ref(), desk)?;
        let options = night.options(desk, Options::FIGHTS)?;
        let sea = bait_sea(&facts(desk)?, &night.outing, &options).map_err(|e| night.place(e))?;
        Ok(Some((night, sea)))
    }

    fn keep(&self, outing: Option<&Outing>) -> std::result::Result<Keep, Failure> {
        let soak = outing.and_then(|o| {
            let said = o.bait.rod_tension.get();
            said.or_else(|| o.outfit.first().and_then(|f| f.drag.soak.get()))
        });
        // A locked line that was typed goes before the tension of the file.
        match (self.rod_tension.or(soak.filter(|_| self.line_out.is_none())), self.line_out) {
            (Some(t), _) => Ok(Keep::Tension(t)),
            (None, Some(l)) => Ok(Keep::Length(l)),
            (None, None) => Err(missing(
                "how the rod keeps the line",
                "--rod-tension",
                "write --rod-tension 25N, or --line-out 200m with the lever locked",
            )),
        }
    }

    fn bits(
        &self,
        outing: Option<&Outing>,
        tables: &Tables,
        distance: Length,
    ) -> std::result::Result<Vec<Bit>, Failure> {
        if self.line.is_empty() {
            let Some(outfit) = outing.and_then(|o| o.outfit.first()) else {
                return Err(missing(
                    "the line in the water",
                    "--line",
                    "write --line 0.9mm or --line '0.40mm braid'",
                ));
            };
            return Ok(of_outfit(outfit, tables, distance)?);
        }
        let last = self.line.len() - 1;
        let mut bits = Vec::new();
        for (i, said) in self.line.iter().enumerate() {
            if i < last && said.length.is_none() {
                return Err(missing(
                    "the length of a piece of line before the last",
                    "--line",
                    "write '1.2mm nylon 20m', from the bait to the rod",
                ));
            }
            bits.push(Bit {
                material: said.material.or(self.material).unwrap_or(Material::Nylon),
                diameter: said.diameter,
                length: said.length.unwrap_or(distance),
            });
        }
        Ok(bits)
    }

    fn profile(&self) -> Result<(Option<Speed>, Profile)> {
        if self.layer.is_empty() {
            return Ok((None, if self.slackens { Profile::Slackening } else { Profile::Uniform }));
        }
        let top = self.layer.iter().min_by(|a, b| a.0.m().total_cmp(&b.0.m())).map_or(Speed::ZERO, |l| l.1);
        if top.mps() == 0.0 {
            return Err(Error::new(
                "the top layer stands still",
                "a current in the top layer",
                "give the layers from where the water runs",
            )
            .within("--layer"));
        }
        let shares = self.layer.iter().map(|(d, v)| (*d, v.mps() / top.mps())).collect();
        Ok((Some(top), Profile::Layers(shares)))
    }

    fn flows(
        &self,
        desk: &Desk,
        current: Option<Speed>,
        out: Speed,
        soak: Option<Span>,
    ) -> std::result::Result<(Option<Vec<Flow>>, Option<String>), Failure> {
        if let (Some(id), Some(at), Some(soak)) = (&self.tide_station, self.at, soak) {
            let Some(strongest) = current else {
                return Err(missing(
                    "the strongest current of this tide",
                    "--current",
                    "time a float at mid tide",
                ));
            };
            let found = desk.packs.stations()?.get(id).map_err(|e| e.within("--tide-station"))?;
            let zone = when::zone(found.zone())?;
            let at = at.at(&zone)?;
            let day = SignedDuration::from_hours(26);
            #[allow(clippy::cast_possible_truncation)] // hours in seconds
            let end = at.checked_add(SignedDuration::from_secs(soak.s() as i64)).unwrap_or(at);
            let around =
                Interval::new(at.checked_sub(day).unwrap_or(at), end.checked_add(day).unwrap_or(end))?;
            let tide = Tide::of_found(&found, around)?;
            let flows = by_tide(&tide, at, soak, strongest, !self.flood_runs_back).map_err(flagged)?;
            let words = format!("{} ({}), from {}", found.name(), found.id(), when::local(at, &zone));
            let flows = flows.into_iter().map(|f| Flow { out, ..f }).collect();
            return Ok((Some(flows), Some(words)));
        }
        let Some(typed) = &self.currents else { return Ok((None, None)) };
        let soak = soak.unwrap_or(Span::of_h(1.0));
        let flows = typed.over(soak).map_err(flagged)?;
        let flows = flows.into_iter().map(|f| Flow { out, ..f }).collect();
        Ok((Some(flows), None))
    }

    fn swell(&self, of_night: Option<&BaitSea>) -> std::result::Result<Option<Swell>, Failure> {
        let Some((height, period)) = self.waves else { return Ok(of_night.and_then(|s| s.swell.get())) };
        let angle = self
            .wave_angle
            .or_else(|| of_night.and_then(|s| s.swell.get()).map(Swell::off_normal))
            .unwrap_or_default();
        Ok(Some(Swell::new(height, period, angle).map_err(|e| e.within("--waves"))?))
    }

    fn sinker_said(&self, outing: Option<&Outing>, pack: &HoldPack) -> Sinker {
        let of = outing.and_then(|o| o.rig.sinker.as_ref());
        let wired = of.and_then(|s| s.wired.get());
        let wires = wired.map(|w| if w { pack.sinker.wires.value } else { 0 });
        Sinker {
            mass: self.sinker.or(of.and_then(|s| s.mass.get())).into(),
            wires: self.wires.or(wires).into(),
            set: self.set.or(outing.and_then(|o| o.bait.sinker_set.get())).into(),
            pull_test: self.pull_test.or(of.and_then(|s| s.hold_measured.get())).into(),
        }
    }
}
