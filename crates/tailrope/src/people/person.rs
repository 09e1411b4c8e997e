//! One person of the crew as the outing file tells of them. Whatever is not said is unknown, and unknown leads
//! to a question or a *stop*, never to a guess.

use super::role::Role;
use crate::facts::Known;
use crate::quantity::{Force, Length, Mass, Quantity, Span, Torque};
use crate::{Error, Result};
use jiff::Timestamp;
use jiff::civil::{Date, DateTime, Time};
use jiff::tz::TimeZone;
use serde::{Deserialize, Deserializer, Serialize, Serializer, de};

/// One person. Names are the crew's own; they must differ within a crew.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Person {
    /// Name, as called on the beach.
    pub name: String,
    /// Age in years.
    #[serde(default)]
    pub age: Known<u8>,
    /// Under 18, where the age itself is not given.
    #[serde(default)]
    pub minor: Known<bool>,
    /// A minor's guardian consents.
    #[serde(default)]
    pub guardian_consents: Known<bool>,
    /// Body mass.
    #[serde(default)]
    pub mass: Known<Mass>,
    /// Body height.
    #[serde(default)]
    pub height: Known<Length>,
    /// Licences, permits, course certificates.
    #[serde(default)]
    pub papers: Known<Vec<Paper>>,
    /// What they can do beside roles.
    #[serde(default)]
    pub skills: Known<Vec<Skill>>,
    /// Roles drilled, with the day.
    #[serde(default)]
    pub drills: Known<Vec<Drill>>,
    /// First nights with this crew.
    #[serde(default)]
    pub newcomer: Known<bool>,
    /// Who stays with a newcomer.
    #[serde(default)]
    pub buddy: Known<String>,
    /// Awake since the last sleep of at least 4 h.
    #[serde(default)]
    pub awake_since: Known<AwakeSince>,
    /// No alcohol or drug before lines are in and rigs stowed.
    #[serde(default)]
    pub sober: Known<bool>,
    /// Swims 100 m.
    #[serde(default)]
    pub swims_100m: Known<bool>,
    /// Open wounds.
    #[serde(default)]
    pub open_wounds: Known<bool>,
    /// On blood thinners.
    #[serde(default)]
    pub blood_thinners: Known<bool>,
    /// Pregnant.
    #[serde(default)]
    pub pregnant: Known<bool>,
    /// Heart disease, chest pain, recent back or belly surgery.
    #[serde(default)]
    pub heart_or_back: Known<bool>,
    /// A doctor has said that this person may, in spite of blood thinners, heart or back.
    #[serde(default)]
    pub doctor_agrees: Known<bool>,
    /// Wears a float tonight.
    #[serde(default)]
    pub wears_float: Known<bool>,
    /// Pull kept up on the harness strap, measured with the scale.
    #[serde(default)]
    pub grip: Known<Force>,
    /// Moment the back bears about the rod butt, if this person set their own.
    #[serde(default)]
    pub back_moment: Known<Torque>,
    /// Roles wanted, the dearest first.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub wishes: Vec<Role>,
    /// Roles refused.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub refuses: Vec<Role>,
    /// Only looks on: takes no role and does not count.
    #[serde(default, skip_serializing_if = "core::ops::Not::not")]
    pub onlooker: bool,
}

/// A paper.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Paper {
    /// Code of the document, as the law packs name it (`fl-shore-shark-permit`).
    pub kind: String,
    /// Its number.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub number: Option<String>,
    /// Last day on which it is good.
    #[serde(default)]
    #[schemars(with = "Known<String>")]
    pub expires: Known<Date>,
}

impl Paper {
    /// Whether it is still good on this day; unknown if its expiry is.
    pub fn good_on(&self, day: Date) -> Known<bool> {
        match self.expires {
            Known::Known(last) => Known::Known(day <= last),
            Known::Unknown => Known::Unknown,
        }
    }
}

/// A role practised.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Drill {
    /// Which.
    pub role: Role,
    /// When last.
    #[schemars(with = "String")]
    pub on: Date,
}

/// What a person can do beside roles.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, schemars::JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Skill {
    /// Trained in first aid.
    FirstAid,
    /// Trained to stop severe bleeding with tourniquet and gauze.
    BleedingControl,
    /// Trained in resuscitation.
    Cpr,
    /// A strong swimmer in surf.
    SurfSwimmer,
    /// Paddles a kayak or board through surf.
    Paddler,
    /// Drives the crew home.
    Driver,
}

/// Since when a person has been awake: a local date and time, or a time of the outing's date.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum AwakeSince {
    /// Date and time.
    At(DateTime),
    /// Time on the date of the outing.
    Time(Time),
}

impl AwakeSince {
    /// How long awake at `end`, for an outing dated `date` at a beach in `zone`. Where the clock is set back
    /// the earlier instant is taken: awake longer is the safe side.
    ///
    /// # Errors
    /// If they woke after `end`.
    pub fn until(self, date: Date, zone: &TimeZone, end: Timestamp) -> Result<Span> {
        let local = match self {
            Self::At(at) => at,
            Self::Time(time) => date.to_datetime(time),
        };
        let refuse = |why: String| {
            Error::new(why, "a waking time before the role ends", "write the date too, like 2026-10-17T05:30")
        };
        let woke = zone
            .to_ambiguous_timestamp(local)
            .earlier()
            .map_err(|_| refuse(format!("{local} is no time of this beach")))?;
        let seconds = end.as_second() - woke.as_second();
        if seconds < 0 {
            return Err(refuse(format!("awake since {local} is after the end of the role")));
        }
        Ok(Span::of_s(seconds as f64))
    }
}

impl core::str::FromStr for AwakeSince {
    type Err = Error;
    fn from_str(text: &str) -> Result<Self> {
        let text = text.trim();
        // A zone or an offset would be dropped without a word by a civil time: refuse it.
        if text.len() > 5 {
            if let Ok(at) = text.replacen(' ', "T", 1).parse::<DateTime>()
                && !text.ends_with(['Z', 'z', ']'])
            {
                return Ok(Self::At(at));
            }
        } else if text.contains(':')
            && let Ok(time) = text.parse::<Time>()
        {
            return Ok(Self::Time(time));
        }
        Err(Error::new(
            format!("`{}` is no waking time", text.chars().take(30).collect::<String>()),
            "HH:MM of the outing's date, or a local date and time",
            "write 05:30 or 2026-10-17T05:30",
        ))
    }
}

impl core::fmt::Display for AwakeSince {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        match self {
            Self::At(at) => write!(f, "{}", at.strftime("%Y-%m-%dT%H:%M")),
            Self::Time(time) => write!(f, "{}", time.strftime("%H:%M")),
        }
    }
}

impl Serialize for AwakeSince {
    fn serialize<S: Serializer>(&self, s: S) -> Result<S::Ok, S::Error> {
        s.collect_str(self)
    }
}

impl<'de> Deserialize<'de> for AwakeSince {
    fn deserialize<D: Deserializer<'de>>(d: D) -> Result<Self, D::Error> {
        String::deserialize(d)?.parse().map_err(de::Error::custom)
    }
}

impl schemars::JsonSchema for AwakeSince {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "AwakeSince".into()
    }
    fn json_schema(_: &mut schemars::SchemaGenerator) -> schemars::Schema {
        schemars::json_schema!({
            "type": "string",
            "description": "since when awake: HH:MM of the outing's date, or a local date and time like 2026-10-17T05:30",
        })
    }
}

fn word(key: &str, text: &str) -> Result<()> {
    if text.trim().is_empty() || text.chars().count() > 80 || text.chars().any(char::is_control) {
        return Err(Error::new(
            format!("{key} is empty, too long or holds control characters"),
            "1 to 80 characters",
            "write it anew",
        )
        .within(key));
    }
    Ok(())
}

fn bounds<Q: Quantity>(key: &str, value: Known<Q>, min: Q, max: Q) -> Result<()> {
    match value {
        Known::Known(q) => q.within(key, min, max).map(|_| ()).map_err(|e| e.within(key)),
        Known::Unknown => Ok(()),
    }
}

impl Person {
    /// A person of whom nothing but the name is known.
    pub fn named(name: impl Into<String>) -> Self {
        Self { name: name.into(), ..Self::default() }
    }

    /// Refuses what no person can be: a name that is empty or holds control characters, an age, mass, height or
    /// strength out of bounds, a paper without its code, a buddy without name.
    pub fn check(&self) -> Result<()> {
        word("name", &self.name)?;
        if let Known::Known(age) = self.age
            && !(1..=110).contains(&age)
        {
            return Err(Error::new(format!("age is {age}"), "1 to 110 years", "check the age").within("age"));
        }
        if let (Known::Known(age), Known::Known(minor)) = (self.age, self.minor)
            && (age < 18) != minor
        {
            return Err(Error::new(
                format!("age {age} and minor = {minor} contradict each other"),
                "minor = true for anybody under 18",
                "give the age alone",
            )
            .within("minor"));
        }
        bounds("mass", self.mass, Mass::of_kg(10.0), Mass::of_kg(250.0))?;
        bounds("height", self.height, Length::of_m(0.5), Length::of_m(2.5))?;
        bounds("grip", self.grip, Force::ZERO, Force::of_n(1000.0))?;
        bounds("back_moment", self.back_moment, Torque::of_nm(1.0), Torque::of_nm(1000.0))?;
        if let Known::Known(buddy) = &self.buddy {
            word("buddy", buddy)?;
            if buddy.trim().eq_ignore_ascii_case(self.name.trim()) {
                return Err(Error::new(
                    "a newcomer cannot be their own buddy",
                    "another name",
                    "name who stays beside them",
                )
                .within("buddy"));
            }
        }
        if let Known::Known(papers) = &self.papers {
            for (i, paper) in papers.iter().enumerate() {
                word(&format!("papers[{i}].kind"), &paper.kind)?;
            }
        }
        Ok(())
    }

    /// Whether younger than `years`. `minor` answers for 18 and, when false, for every lesser age too.
    pub fn younger_than(&self, years: u8) -> Known<bool> {
        match (self.age, self.minor) {
            (Known::Known(age), _) => Known::Known(age < years),
            (_, Known::Known(false)) if years <= 18 => Known::Known(false),
            (_, Known::Known(true)) if years >= 18 => Known::Known(true),
            _ => Known::Unknown,
        }
    }

    /// Whether this role was drilled no longer than `holds` before `day`. A drill dated after `day` does not
    /// count.
    pub fn drilled_in(&self, role: Role, day: Date, holds: Span) -> Known<bool> {
        self.drilled_where(day, holds, |d| d.role == role)
    }

    /// Whether any role was drilled no longer than `holds` before `day`.
    pub fn drilled_at_all(&self, day: Date, holds: Span) -> Known<bool> {
        self.drilled_where(day, holds, |_| true)
    }

    fn drilled_where(&self, day: Date, holds: Span, wanted: impl Fn(&Drill) -> bool) -> Known<bool> {
        match &self.drills {
            Known::Unknown => Known::Unknown,
            Known::Known(drills) => Known::Known(drills.iter().filter(|d| wanted(d)).any(|d| {
                let days = day.duration_since(d.on).as_secs_f64() / 86400.0;
                (0.0..=holds.d()).contains(&days)
            })),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    const CREW: &str = r#"
name = "Ash"
age = 41
mass = "92kg"
papers = [{ kind = "fl-shore-shark-permit", number = "1", expires = "2027-01-31" }]
skills = ["first-aid", "driver"]
drills = [{ role = "angler", on = "2026-09-20" }]
awake_since = "06:30"
sober = true
pregnant = "unknown"
wishes = ["angler", "safety-lead"]
"#;

    #[test]
    fn reads_a_person_and_writes_the_same_back() {
        let p: Person = toml::from_str(CREW).unwrap();
        assert_eq!(p.mass, Known::Known(Mass::of_kg(92.0)));
        assert_eq!(p.awake_since, Known::Known(AwakeSince::Time(jiff::civil::time(6, 30, 0, 0))));
        assert!(p.pregnant.is_unknown() && p.swims_100m.is_unknown());
        let papers = p.papers.as_ref().unwrap();
        assert_eq!(papers[0].good_on(date(2027, 1, 31)), Known::Known(true));
        assert_eq!(papers[0].good_on(date(2027, 2, 1)), Known::Known(false));
        let json = serde_json::to_string(&p).unwrap();
        assert_eq!(serde_json::from_str::<Person>(&json).unwrap(), p);
        assert!(
            toml::from_str::<Person>("name = 'x'\nsobber = true").unwrap_err().to_string().contains("sobber")
        );
        assert!(toml::from_str::<Person>("name = 'x'\nwishes = ['gaff-hand']").is_err());
        let schema = serde_json::to_string(&schemars::schema_for!(Person)).unwrap();
        assert!(schema.contains("awake_since") && schema.contains("tail-rope-hand"));
    }

    #[test]
    fn refuses_what_no_person_is() {
        let ok = Person::named("Ash");
        assert!(ok.check().is_ok());
        let say = |p: Person| p.check().unwrap_err().to_string();
        assert!(say(Person::named(" ")).contains("name is empty"));
        assert!(say(Person { age: Known::Known(0), ..ok.clone() }).contains("age is 0"));
        assert!(
            say(Person { mass: Known::Known(Mass::of_kg(920.0)), ..ok.clone() }).contains("mass is 920 kg")
        );
        let both = Person { age: Known::Known(30), minor: Known::Known(true), ..ok.clone() };
        assert!(say(both).contains("contradict"));
        assert!(say(Person { buddy: Known::Known("ash".into()), ..ok.clone() }).contains("own buddy"));
        let paper = Paper { kind: String::new(), number: None, expires: Known::Unknown };
        assert!(say(Person { papers: Known::Known(vec![paper]), ..ok }).contains("papers[0].kind"));
    }

    #[test]
    fn hours_awake_count_over_midnight_and_the_clock_set_back() {
        let zone = TimeZone::get("America/New_York").unwrap();
        let at = |text: &str| text.parse::<Timestamp>().unwrap();
        let since: AwakeSince = "06:30".parse().unwrap();
        // 2026-10-17 is summer time, UTC-4: 00:30 the next day is 18 h later.
        let h = since.until(date(2026, 10, 17), &zone, at("2026-10-18T04:30:00Z")).unwrap();
        assert_eq!(h.h(), 18.0);
        // 2026-11-01 02:00 is set back to 01:00: from 2026-10-31 06:30 to 01:30 standard time are 20 h.
        let h = since.until(date(2026, 10, 31), &zone, at("2026-11-01T06:30:00Z")).unwrap();
        assert_eq!(h.h(), 20.0);
        let dated: AwakeSince = "2026-10-16 22:00".parse().unwrap();
        assert_eq!(dated.until(date(2026, 10, 17), &zone, at("2026-10-17T12:00:00Z")).unwrap().h(), 10.0);
        assert!(since.until(date(2026, 10, 17), &zone, at("2026-10-17T09:00:00Z")).is_err());
        for bad in ["", "6", "dawn", "25:00", "2026-10-17", "2026-10-17T05:30Z", "06:30 or so"] {
            assert!(bad == "2026-10-17" || bad.parse::<AwakeSince>().is_err(), "{bad}");
        }
    }

    #[test]
    fn minors_and_drills_are_three_valued() {
        let mut p = Person::named("Kit");
        assert_eq!(p.younger_than(18), Known::Unknown);
        p.minor = Known::Known(true);
        assert_eq!((p.younger_than(18), p.younger_than(16)), (Known::Known(true), Known::Unknown));
        p.minor = Known::Known(false);
        assert_eq!((p.younger_than(18), p.younger_than(16)), (Known::Known(false), Known::Known(false)));
        p.age = Known::Known(17);
        assert_eq!((p.younger_than(18), p.younger_than(16)), (Known::Known(true), Known::Known(false)));
        let day = date(2026, 10, 17);
        let holds = Span::of_d(240.0);
        assert_eq!(p.drilled_in(Role::Angler, day, holds), Known::Unknown);
        p.drills = Known::Known(vec![Drill { role: Role::Angler, on: date(2026, 2, 19) }]);
        assert_eq!(p.drilled_in(Role::Angler, day, holds), Known::Known(true)); // 240 days
        assert_eq!(p.drilled_in(Role::Angler, date(2026, 10, 18), holds), Known::Known(false));
        assert_eq!(p.drilled_in(Role::Angler, date(2026, 1, 1), holds), Known::Known(false));
        assert_eq!(p.drilled_in(Role::HookHand, day, holds), Known::Known(false));
        assert_eq!(p.drilled_at_all(day, holds), Known::Known(true));
    }
}
