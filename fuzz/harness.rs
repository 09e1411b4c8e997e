// What must hold whatever bytes come in: used by the coverage-guided targets beside this file and, without them, by
// the mutating test of the library (crates/tailrope/tests/mutated.rs).

use std::sync::LazyLock;
use tailrope::Outing;
use tailrope::facts::PackText;
use tailrope::outing::conditions::sift;
use tailrope::quantity::{Interval, Quantity, Units};
use tailrope::sea::report::{Datums, Fits, Format, Report, Series, Told, read};
use tailrope::sea::tide::world::{World, encode};
use tailrope::sea::tide::{Stations, Tide};

/// The targets by name.
#[allow(clippy::type_complexity)] // a list of names and what to call
pub const TARGETS: [(&str, fn(&[u8])); 8] = [
    ("ndbc", ndbc),
    ("spectral", spectral),
    ("coops", coops),
    ("gridpoint", gridpoint),
    ("hourly", hourly),
    ("stations", stations),
    ("outing", outing),
    ("conditions", conditions),
];

/// NDBC standard meteorological text.
pub fn ndbc(data: &[u8]) {
    report(data, Format::NdbcText);
}

/// NDBC spectral summaries.
pub fn spectral(data: &[u8]) {
    report(data, Format::NdbcSpectral);
}

/// CO-OPS answers, JSON and CSV, their comparison with a tide, and datums.
pub fn coops(data: &[u8]) {
    report(data, Format::CoopsJson);
    report(data, Format::CoopsCsv);
    let Ok(text) = std::str::from_utf8(data) else { return };
    if let Ok(fits) = Fits::of("f", text, &Told::default(), &TIDE, "America/Los_Angeles", &[]) {
        assert!(fits.alike >= 1 && fits.alike <= fits.ranked.len());
        assert!(fits.ranked.windows(2).all(|w| w[0].misfit <= w[1].misfit));
        assert!(!fits.words().is_empty());
    }
    if let Ok(datums) = Datums::read("d", text) {
        assert!(datums.all_above("MLLW").iter().all(|d| d.1.m().abs() <= 200.0));
    }
}

/// NWS gridpoint forecasts.
pub fn gridpoint(data: &[u8]) {
    report(data, Format::NwsGridpoint);
}

/// Hourly arrays.
pub fn hourly(data: &[u8]) {
    report(data, Format::HourlyArrays);
}

/// Packs of tide stations: any bytes, and a pack of one station whose checksums are put right, so that what comes
/// behind them is reached. Of the data the first two bytes are the length of the index, the rest index and record.
pub fn stations(data: &[u8]) {
    opened(data.to_vec());
    let Some((length, rest)) = data.split_first_chunk::<2>() else { return };
    let (index, record) = rest.split_at(usize::from(u16::from_le_bytes(*length)).min(rest.len()));
    let mut pack = b"TAILTIDE\x01".to_vec();
    let size = |n: usize| u32::try_from(n).expect("a short file").to_le_bytes();
    for word in [size(1), size(index.len()), size(record.len() + 4), crc32(index).to_le_bytes()] {
        pack.extend_from_slice(&word);
    }
    pack.extend_from_slice(index);
    pack.extend_from_slice(record);
    pack.extend_from_slice(&crc32(record).to_le_bytes());
    opened(pack);
}

fn opened(bytes: Vec<u8>) {
    let Ok(world) = World::open("w", bytes) else { return };
    for i in 0..world.len().min(50) {
        assert_eq!(world.find(world.id(i)), Some(i));
        let card = world.card(i);
        if let Ok(record) = world.record(i) {
            assert_eq!(card.expect("a record has a card"), record.card);
            // What was read is packed and read again. A follower needs its reference in the pack.
            if !record.card.follows {
                let again =
                    World::open("a", encode(std::slice::from_ref(&record)).expect("it was packed before"));
                assert_eq!(again.expect("a pack").record(0).expect("a record"), record);
            }
        }
    }
}

fn crc32(bytes: &[u8]) -> u32 {
    !bytes.iter().fold(!0_u32, |sum, b| {
        (0..8).fold(sum ^ u32::from(*b), |s, _| if s & 1 == 1 { (s >> 1) ^ 0xedb8_8320 } else { s >> 1 })
    })
}

/// Outing files, TOML and JSON: what is read and found sound is written and read again as the same.
pub fn outing(data: &[u8]) {
    let Ok(text) = std::str::from_utf8(data) else { return };
    for outing in [Outing::read(&PackText::new("o.toml", text)), Outing::read_json("o.json", text)] {
        match outing {
            Ok(outing) => written_and_read(&outing),
            Err(e) => refusal(&e, "o."),
        }
    }
}

fn written_and_read(outing: &Outing) {
    let written = outing.to_toml().expect("an outing can be written");
    let again = Outing::read(&PackText::new("o.toml", &written)).expect("what was written can be read");
    assert_eq!(again.to_toml().expect("and written again"), written);
}

fn refusal(e: &tailrope::Error, file: &str) {
    assert!(e.place.starts_with(file) && !e.error.is_empty() && !e.remedy.is_empty(), "{e}");
    assert!(e.to_string().len() < 4000, "a refusal of {} bytes", e.to_string().len());
}

/// A file of any format on its way into an outing: what of it bears on a night about its newest reading is taken by the
/// outing, written and read again.
pub fn conditions(data: &[u8]) {
    let Ok(text) = std::str::from_utf8(data) else { return };
    for told in SAYINGS.iter() {
        let Ok(report) = read("f", text, told) else { continue };
        let times = report.newest(jiff::Timestamp::MAX, Units::Si);
        let Some(latest) = times.iter().map(|r| r.from).max() else { continue };
        let hour = jiff::SignedDuration::from_hours;
        let night = Interval::new(latest - hour(9), latest + hour(3)).expect("a stretch");
        let sifted = sift(&report, &[night], latest);
        assert!(sifted.len() <= 2);
        let heard = OUTING.clone().with_reports(sifted).expect("an outing takes what was read");
        written_and_read(&heard);
    }
}

/// A tide for the comparison, made once.
static TIDE: LazyLock<Tide> = LazyLock::new(|| {
    let all = Stations::read(&PackText::new(
        "stations.toml",
        include_str!("../crates/tailrope/tests/reference/fixtures/stations.toml"),
    ))
    .expect("stations");
    let at = |t: &str| t.parse().expect("a time");
    let when = Interval::new(at("2026-06-20T00:00Z"), at("2026-07-10T00:00Z")).expect("a stretch");
    Tide::of_found(&all.get("san_francisco_ca").expect("a station"), when).expect("a tide")
});

/// An outing to hear the files.
static OUTING: LazyLock<Outing> = LazyLock::new(|| {
    Outing::read(&PackText::new("o.toml", include_str!("../data/demo/pelican-bar.toml"))).expect("an outing")
});

/// What a person may say about a file, from nothing to everything.
static SAYINGS: LazyLock<Vec<Told>> = LazyLock::new(|| {
    [
        "",
        "skip_bad_rows",
        "station=1, datum=MLLW, units=metric, zone=gmt, skip_bad_rows",
        "station=1, datum=MLLW, units=english, zone=lst_ldt America/New_York, skip_bad_rows, product=water_temperature",
        "station=1, datum=MLLW, units=metric, zone=lst Australia/Sydney, at=-33.85 151.23",
    ]
    .iter()
    .map(|t| t.parse().expect("a saying"))
    .collect()
});

fn report(data: &[u8], format: Format) {
    let Ok(text) = std::str::from_utf8(data) else { return };
    for told in SAYINGS.iter() {
        let told = Told { format: Some(format), ..told.clone() };
        match read("f", text, &told) {
            Ok(report) => checked(&report, text.len(), told.skip_bad_rows),
            Err(e) => refusal(&e, "f"),
        }
    }
}

/// Readings in order of time, within the years, finite, no more than the text could hold; a view of any instant.
#[allow(clippy::items_after_statements)] // the two small judges stand where they are used
fn checked(r: &Report, bytes: usize, skipped: bool) {
    assert!(skipped || r.bad_row_count == 0);
    assert!(r.bad_rows.len() <= r.bad_row_count.min(100));
    fn series<Q: Quantity>(s: &Series<Q>, bytes: usize, min: f64, max: f64) {
        assert!(s.len() <= bytes);
        times(s);
        for x in s {
            assert!(x.value.si() >= min && x.value.si() <= max, "{} {}", Q::WHAT, x.value.si());
        }
    }
    fn times<Q>(s: &Series<Q>) {
        let years = -2_208_988_800..4_102_444_800;
        let mut last = None;
        for x in s {
            assert!(
                years.contains(&x.from.as_second()) && years.contains(&x.to.as_second()) && x.from <= x.to
            );
            assert!(last.is_none_or(|l| l <= x.from));
            last = Some(x.from);
        }
    }
    for train in [&r.swell, &r.second_swell, &r.wind_sea] {
        series(&train.height, bytes, 0.0, 30.001);
        series(&train.period, bytes, 0.4999, 40.001);
        series(&train.from, bytes, 0.0, std::f64::consts::TAU + 1e-9);
    }
    series(&r.wave_height, bytes, 0.0, 30.001);
    series(&r.peak_period, bytes, 0.4999, 40.001);
    series(&r.mean_period, bytes, 0.4999, 40.001);
    series(&r.wind, bytes, 0.0, 100.001);
    series(&r.gust, bytes, 0.0, 100.001);
    series(&r.wind_from, bytes, 0.0, std::f64::consts::TAU + 1e-9);
    series(&r.wave_from, bytes, 0.0, std::f64::consts::TAU + 1e-9);
    series(&r.air_temperature, bytes, -60.001, 60.001);
    series(&r.water_temperature, bytes, -3.001, 45.001);
    series(&r.pressure, bytes, 84_999.0, 110_001.0);
    series(&r.visibility, bytes, 0.0, 400_001.0);
    series(&r.current, bytes, 0.0, 12.001);
    for levels in [&r.water_level, &r.predicted_level].into_iter().flatten() {
        series(&levels.series, bytes, -20.001, 30.001);
    }
    times(&r.weather);
    times(&r.hazards);
    if let Some(listed) = &r.listed_waters {
        assert!(listed.waters.windows(2).all(|w| w[0].at <= w[1].at));
    }
    let last = r.wave_height.last().map(|x| x.from).or(r.wind.last().map(|x| x.from));
    for at in [last.unwrap_or_default(), jiff::Timestamp::MAX, jiff::Timestamp::MIN] {
        for row in r.newest(at, Units::Us) {
            assert!(row.from <= at && row.value.is_none_or(f64::is_finite) && !row.shown.is_empty());
        }
        if let Some(mixed) = r.mixed_sea(at) {
            let worst = mixed.worst().expect("a mixed sea has trains");
            assert!(mixed.trains.len() >= 2 && worst.period.from <= at);
        }
        let _ = r.sea(at);
    }
    let _ = r.told_words();
}
