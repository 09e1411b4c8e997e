//! Files as agencies sent them, value by value; what each is stands in `fixtures/reports/README.md`.

use jiff::Timestamp;
use tailrope::facts::{Known, PackText};
use tailrope::outing::conditions::sift;
use tailrope::quantity::{Interval, Length, Quantity, Units};
use tailrope::sea::report::{
    Clock, Datums, Fits, Format, Kind, Report, Series, Steepness, Told, UnitSystem, read,
};
use tailrope::sea::surf::{self, Swell};
use tailrope::sea::tide::{Found, Residual, Stations, Tide, Water};

macro_rules! file {
    ($name:literal) => {
        ($name, include_str!(concat!("fixtures/reports/", $name)))
    };
}

const SPEC: (&str, &str) = file!("ndbc_spec_46029_2019-04-02.txt");
const JUMPS: (&str, &str) = file!("ndbc_realtime2_46253_2026-09-26.txt");
const LEVEL: (&str, &str) = file!("coops_water_level.json");
const WIND: (&str, &str) = file!("coops_wind.json");
const AIR: (&str, &str) = file!("coops_air_temperature.json");
const SIX_MINUTES: (&str, &str) = file!("coops_predictions_6min_msl_metric_gmt.json");
const HIGH_LOW: (&str, &str) = file!("coops_predictions_hilo_mllw_english_lstldt_8638596.json");
const GAUGE: (&str, &str) = file!("coops_water_level_sf_2026-07-01.csv");
const GRID: (&str, &str) = file!("nws_gridpoint_trimmed.json");

fn at(text: &str) -> Timestamp {
    text.parse().unwrap()
}

fn told(text: &str) -> Told {
    text.parse().unwrap()
}

fn load(file: (&str, &str), said: &str) -> Report {
    read(file.0, file.1, &told(said)).unwrap_or_else(|e| panic!("{e}"))
}

fn refused(file: (&str, &str), said: &str) -> String {
    read(file.0, file.1, &told(said)).unwrap_err().to_string()
}

/// Values in SI, oldest first, rounded to six digits.
fn si<Q: Quantity>(s: &Series<Q>) -> Vec<f64> {
    s.iter().map(|r| (r.value.si() * 1e6).round() / 1e6).collect()
}

fn deg(s: &Series<tailrope::quantity::Angle>) -> Vec<f64> {
    s.iter().map(|r| (r.value.deg() * 1e6).round() / 1e6).collect()
}

fn hpa(s: &Series<tailrope::quantity::Pressure>) -> Vec<f64> {
    s.iter().map(|r| (r.value.pa() * 1e4).round() / 1e6).collect()
}

#[test]
fn real_time_buoy_without_waves() {
    let r = load(file!("ndbc_realtime2.txt"), "");
    assert_eq!((r.origin.format, r.kind, r.origin.zone.as_str()), (Format::NdbcText, Kind::Observed, "UTC"));
    assert!(
        r.wave_height.is_empty()
            && r.peak_period.is_empty()
            && r.wave_from.is_empty()
            && r.visibility.is_empty()
    );
    assert!(r.gust.is_empty() && r.water_level.is_none() && r.pressure_change.is_empty());
    // The file is newest first; readings are oldest first.
    assert_eq!(r.wind.first().unwrap().from, at("2026-10-06T23:30Z"));
    assert_eq!(si(&r.wind), [3.0; 4]);
    assert_eq!(deg(&r.wind_from), [300.0, 300.0, 290.0, 300.0]);
    assert_eq!(hpa(&r.pressure), [1014.6, 1014.9, 1015.2, 1015.5]);
    assert_eq!(si(&r.air_temperature), [20.9, 20.9, 20.6, 20.7]);
    assert_eq!(si(&r.water_temperature), [21.1, 21.0, 20.8, 20.7]);
    assert_eq!(si(&r.dew_point), [17.3, 17.9, 17.3, 18.0]);
    // Nothing in the name or the text says which buoy it is.
    assert!(
        r.origin.station.is_unknown() && r.questions.iter().any(|q| q.contains("which buoy")),
        "{:?}",
        r.questions
    );
    let r = load(("41001.txt", file!("ndbc_realtime2.txt").1), "");
    assert_eq!(r.origin.station, Known::Known("41001".into()));
    assert!(r.notes.iter().any(|n| n.contains("by the file's name")));
}

#[test]
fn real_time_example_with_waves() {
    let r = load(file!("ndbc_realtime2_with_waves.txt"), "station=42001");
    let when = at("2014-09-11T16:50Z");
    assert_eq!(
        (si(&r.wave_height), si(&r.peak_period), si(&r.mean_period)),
        (vec![0.6], vec![6.0], vec![4.2])
    );
    assert_eq!((deg(&r.wave_from), deg(&r.wind_from)), (vec![134.0], vec![120.0]));
    assert_eq!((si(&r.wind), si(&r.gust)), (vec![5.0], vec![6.0]));
    assert_eq!((hpa(&r.pressure), hpa(&r.pressure_change)), (vec![1016.5], vec![0.3]));
    assert_eq!(
        (si(&r.air_temperature), si(&r.water_temperature), si(&r.dew_point)),
        (vec![29.3], vec![30.5], vec![24.4])
    );
    assert!(r.visibility.is_empty() && r.water_level.is_none());
    assert_eq!(r.wave_height.last().unwrap().from, when);
    assert!(r.wave_height.newest(at("2014-09-11T16:49Z")).is_none());
    assert_eq!(r.wave_height.newest(at("2014-09-11T18:50Z")).unwrap().age(at("2014-09-11T18:50Z")).h(), 2.0);
}

#[test]
fn the_eras_of_the_historical_files() {
    let r = load(file!("ndbc_hist_1999.txt"), "");
    assert_eq!(r.wind.last().unwrap().from, at("1999-01-01T00:00Z"));
    assert_eq!((deg(&r.wind_from), si(&r.wind), si(&r.gust)), (vec![69.0], vec![4.5], vec![6.1]));
    assert_eq!(
        (hpa(&r.pressure), si(&r.air_temperature), si(&r.dew_point)),
        (vec![1021.6], vec![7.6], vec![4.8])
    );
    assert!(r.wave_height.is_empty() && r.water_temperature.is_empty() && r.visibility.is_empty());

    let r = load(file!("ndbc_hist_2005.txt"), "");
    assert_eq!(si(&r.wave_height), [1.93, 1.88, 1.78, 2.0]);
    assert_eq!(si(&r.peak_period), [8.33, 9.09, 9.09, 9.09]);
    assert_eq!(si(&r.mean_period), [6.02, 6.18, 5.73, 6.06]);
    assert_eq!(deg(&r.wave_from), [150.0, 149.0, 153.0, 153.0]);
    assert_eq!(deg(&r.wind_from), [88.0, 95.0, 102.0, 107.0]);
    assert_eq!(hpa(&r.pressure), [1024.3, 1025.1, 1025.0, 1025.2]);
    assert!(r.visibility.is_empty() && r.water_level.is_none());

    let r = load(file!("ndbc_hist_2019.txt"), "");
    assert_eq!((si(&r.wind), deg(&r.wind_from)), (vec![5.6, 5.0, 4.6], vec![173.0, 175.0, 178.0]));
    assert!(r.wave_height.is_empty() && r.wave_from.is_empty() && r.air_temperature.is_empty());

    // Two digits up to 1998; the tide in feet from 2000; years put behind each other change columns on the way.
    let joined = "YY MM DD hh WD   WSPD GST  WVHT  DPD   APD  MWD  BAR    ATMP  WTMP  DEWP  VIS\n\
        98 12 31 23 999 99.0 99.0  1.10 99.00 99.00  99  999.0  99.0 999.0 999.0  5.0\n\
        YYYY MM DD hh mm  WD  WSPD GST  WVHT  DPD   APD  MWD  BAR    ATMP  WTMP  DEWP  VIS  TIDE\n\
        2005 01 01 00 30  88  5.6  6.9 99.00 99.00 99.00 999 9999.0  20.6  21.4  18.2 99.0  2.50\n";
    let e = refused(("j.txt", joined), "");
    assert!(e.contains("line 2, ATMP `99.0`") && e.contains("outside -60 to 60 C"), "{e}");
    let r = load(("j.txt", &joined.replace("  99.0 999.0 999.0  5.0", "  10.0 999.0 999.0  5.0")), "");
    // Ninety-nine degrees and 999 hPa are values in their columns, and codes in others.
    assert_eq!((deg(&r.wave_from), hpa(&r.pressure)), (vec![99.0], vec![999.0]));
    assert_eq!(r.wave_height.last().unwrap().from, at("1998-12-31T23:00Z"));
    assert_eq!((si(&r.visibility), r.wind.len()), (vec![8046.72], 1));
    let tide = r.water_level.unwrap();
    assert_eq!((si(&tide.series), tide.datum), (vec![0.762], Known::Known("MLLW".into())));
    assert_eq!(tide.series.last().unwrap().from, at("2005-01-01T00:30Z"));
    assert!(r.notes.iter().any(|n| n.contains("statute miles")), "{:?}", r.notes);
}

#[test]
fn columns_are_known_by_name_and_rows_refused_by_line() {
    let head = "#YY  MM DD hh mm WTMP WVHT VIS\n#yr mo dy hr mn degC m nmi\n";
    let r = load(("x", &format!("{head}2026 10 07 02 30 21.5 1.2 3\n")), "");
    assert_eq!(
        (si(&r.water_temperature), si(&r.wave_height), si(&r.visibility)),
        (vec![21.5], vec![1.2], vec![5556.0])
    );
    for (row, line, says) in [
        ("2026 10 07 02 30 21.5 900 3", 3, "wave height of 900 m is outside 0 to 30 m"),
        ("2026 10 07 02 30 21.5 1.2", 3, "7 fields under 8 columns"),
        ("2026 10 07 02 30 21.5 1.2 3 4", 3, "9 fields"),
        ("2026 13 07 02 30 21.5 1.2 3", 3, "no such day"),
        ("2026 02 30 02 30 21.5 1.2 3", 3, "no such day"),
        ("2126 10 07 02 30 21.5 1.2 3", 3, "outside the years"),
        ("05 10 07 02 30 21.5 1.2 3", 3, "four digits"),
        ("2026 10 07 02 30 warm 1.2 3", 3, "no number"),
        (
            "2026 10 07 02 30 21.5 1.2 3\n\n# a remark\n2026 10 07 02 30 21.5 1.3 3",
            6,
            "another value for the same time",
        ),
    ] {
        let text = format!("{head}{row}\n");
        let e = refused(("b.txt", &text), "");
        assert!(
            e.starts_with("b.txt: ") && e.contains(&format!("line {line}")) && e.contains(says),
            "{row}: {e}"
        );
        // Told to leave them out: the row is listed, and nothing of it is a reading.
        let more = format!("{text}2026 10 07 03 30 20.0 1.0 2\n");
        let r = load(("b.txt", &more), "skip_bad_rows");
        assert_eq!(r.bad_rows.len(), 1, "{row}");
        assert!(r.bad_rows[0].to_string().contains(says) && r.bad_row_count == 1);
        assert_eq!(r.wave_height.last().unwrap().value.m(), 1.0);
        assert_eq!(r.wave_height.len(), 1);
    }
    for (text, says) in [
        (format!("{head}2026 10 07 02 30 21.5 1.2 3\n").replace(" m nmi", " ft nmi"), "WVHT is in `ft`"),
        (head.replace("WVHT", "WTMP"), "names WTMP twice"),
        (head.to_owned(), "holds no reading"),
        ("#YY MM DD WVHT\n2026 10 07 1.2\n".to_owned(), "names no hour"),
    ] {
        let e = refused(("b.txt", &text), "");
        assert!(e.contains(says), "{e}");
    }
}

#[test]
fn missing_water_temperature_is_the_older_value_with_its_age() {
    let text = "#YY  MM DD hh mm WTMP ATMP\n#yr mo dy hr mn degC degC\n\
        2019 01 23 04 00 MM 10.0\n2019 01 23 03 00 MM 10.5\n2019 01 23 01 00 8.4 11.0\n";
    let now = at("2019-01-23T04:10Z");
    let rows = load(("44009.txt", text), "").newest(now, Units::Us);
    let water = rows.iter().find(|r| r.name == "water temperature").unwrap();
    assert_eq!((water.shown.as_str(), water.value, water.unit), ("47 F", Some(8.4), "C"));
    assert!((water.age.min_() - 190.0).abs() < 1e-9);
    assert!(water.source.contains("NDBC") && water.source.contains("44009"));
    assert!((rows.iter().find(|r| r.name == "air temperature").unwrap().age.min_() - 10.0).abs() < 1e-9);
    let none = load(("44009.txt", &text.replace("8.4", "MM")), "");
    assert!(none.newest(now, Units::Us).iter().all(|r| r.name != "water temperature"));
}

#[test]
fn a_peak_that_jumps_is_a_mixed_sea() {
    let r = load(JUMPS, "station=46253");
    let now = at("2026-09-26T05:00Z");
    assert!(r.wind.is_empty() && r.wind_from.is_empty() && r.gust.is_empty());
    assert_eq!((si(&r.peak_period), deg(&r.wave_from)), (vec![4.0, 4.0, 13.0], vec![266.0, 266.0, 198.0]));
    let mixed = r.mixed_sea(now).unwrap();
    let periods: Vec<f64> = mixed.trains.iter().map(|t| t.period.value.s()).collect();
    assert_eq!(periods, [13.0, 4.0]);
    assert_eq!(
        mixed.trains.iter().map(|t| t.from.unwrap().value.deg().round()).collect::<Vec<_>>(),
        [198.0, 266.0]
    );
    assert!(mixed.words.contains("mixed sea") && mixed.words.contains("13 s") && mixed.words.contains("4 s"));
    // Run-up on a foreshore of 1 in 10 and breakers, by the case: 1.26 and 1.29 m; 0.39 and 0.81 m.
    let slope = "1:10".parse().unwrap();
    for (train, run_up, breakers) in [(mixed.worst().unwrap(), 1.26, 1.29), (&mixed.trains[1], 0.39, 0.81)] {
        let swell = Swell::square_on(train.height.value, train.period.value).unwrap();
        let up = surf::RunUp::of(swell, slope).two_percent;
        assert!((up.m() - run_up).abs() < 0.005, "{up:?}");
        assert!((surf::breaker_height(swell).m() - breakers).abs() < 0.005);
    }
    // Half an hour before, the file showed one train only.
    assert!(r.mixed_sea(at("2026-09-26T04:30Z")).is_none());
    // A sea whose mean period goes along has changed, and is not mixed.
    let changed = JUMPS.1.replace("13   4.4", "13   9.4");
    let changed = load((JUMPS.0, &changed), "");
    assert!(changed.mixed_sea(now).is_none());
    assert_eq!(changed.sea(now).unwrap().period.value.s(), 13.0, "its run-up is planned on all the same");
}

#[test]
fn spectral_summary_newest_first() {
    let r = load(SPEC, "station=46029");
    assert_eq!(r.origin.format, Format::NdbcSpectral);
    let now = at("2019-04-02T16:20Z");
    let newest = r.wave_height.newest(now).unwrap();
    assert_eq!((newest.value.m(), newest.from), (1.8, at("2019-04-02T16:00Z")));
    assert_eq!(si(&r.wave_height), [1.9, 1.7, 1.5, 1.7, 1.8]);
    assert_eq!(si(&r.swell.height), [1.8, 1.7, 1.5, 1.7, 1.8]);
    assert_eq!(si(&r.swell.period), [16.0, 17.4, 13.8, 16.0, 14.8]);
    assert_eq!(si(&r.wind_sea.height), [0.2; 5]);
    assert_eq!(si(&r.wind_sea.period), [3.7, 3.8, 3.6, 3.4, 3.4]);
    assert_eq!(deg(&r.swell.from), [292.5; 5]);
    assert_eq!(deg(&r.wind_sea.from), [337.5, 22.5, 337.5, 22.5, 337.5]);
    assert_eq!(r.swell.from_within.get().unwrap().deg(), 11.25);
    assert_eq!(si(&r.mean_period), [10.5, 10.1, 9.1, 9.4, 9.3]);
    assert_eq!(deg(&r.wave_from), [289.0, 288.0, 285.0, 288.0, 286.0]);
    assert!(r.steepness.iter().all(|s| s.value == Steepness::Swell) && r.steepness.len() == 5);
    // The file has no peak of the whole; the swell has nearly all the energy.
    assert!(r.peak_period.is_empty() && r.mixed_sea(now).is_none());
    let sea = r.sea(now).unwrap();
    assert_eq!((sea.height.value.m(), sea.period.value.s()), (1.8, 14.8));
    let swell = Swell::square_on(sea.height.value, sea.period.value).unwrap();
    assert!((surf::breaker_height(swell).m() - 2.90).abs() < 0.005);
    assert!(!r.notes.iter().any(|n| n.contains("do not make up")), "{:?}", r.notes);
    let off = SPEC.1.replace("1.8  1.8 14.8", "3.8  1.8 14.8");
    assert!(load((SPEC.0, &off), "").notes.iter().any(|n| n.contains("1.81 m against 3.80 m")));
    // Two trains of like energy: planned on the longer with the height of the whole.
    let like = SPEC.1.replace("1.8  1.8 14.8  0.2  3.4", "1.8  1.3 14.8  1.2  5.4");
    let mixed = load((SPEC.0, &like), "").mixed_sea(now).unwrap();
    let worst = mixed.worst().unwrap();
    assert_eq!((worst.period.value.s(), worst.height.value.m()), (14.8, 1.8));
    assert_eq!(worst.own_height.unwrap().value.m(), 1.3);
    assert!(refused((SPEC.0, &SPEC.1.replacen("SWELL", "17", 1)), "").contains("line 3, STEEPNESS `17`"));
    assert!(refused((SPEC.0, &SPEC.1.replacen("WNW", "NWN", 1)), "").contains("no direction"));
}

#[test]
fn predictions_do_not_say_what_they_are() {
    let e = refused(SIX_MINUTES, "");
    for word in ["station=", "datum=", "units=", "zone="] {
        assert!(e.contains(word), "{e}");
    }
    let r = load(SIX_MINUTES, "station=8729840, datum=MSL, units=metric, zone=gmt");
    let levels = r.predicted_level.unwrap();
    assert_eq!((r.kind, levels.datum), (Kind::Predicted, Known::Known("MSL".into())));
    assert_eq!(si(&levels.series), [0.11, 0.116, 0.122]);
    assert_eq!(levels.series.last().unwrap().from, at("2026-10-01T00:12Z"));
    assert!(r.water_level.is_none());

    let r = load(HIGH_LOW, "station=8638596, datum=MLLW, units=english, zone=lst_ldt America/New_York");
    let listed = r.listed_waters.unwrap();
    assert!(r.predicted_level.is_none());
    assert_eq!(
        (listed.waters.len(), listed.waters[0].water, listed.waters[1].water),
        (7, Water::Low, Water::High)
    );
    assert_eq!(listed.waters[0].at, at("2020-11-04T09:40Z"));
    assert!((listed.waters[1].level.m() - 3.046 * 0.3048).abs() < 1e-12);
    assert_eq!(r.origin.zone, "lst_ldt America/New_York");
    // The listed waters make a tide of their own.
    let when = Interval::new(at("2020-11-04T12:00Z"), at("2020-11-05T12:00Z")).unwrap();
    let tide = Tide::of_table(&listed.table(&r.origin.source).unwrap(), when).unwrap();
    assert!((tide.level(at("2020-11-04T16:19Z")).unwrap().ft() - 3.046).abs() < 1e-9);
    assert_eq!(tide.about().datum, "MLLW");
    assert!(
        refused(
            (HIGH_LOW.0, &HIGH_LOW.1.replacen("\"H\"", "\"X\"", 1)),
            "station=1,datum=M,units=metric,zone=gmt"
        )
        .contains("entry 2")
    );
}

#[test]
fn observations_of_the_tide_service() {
    let e = refused(LEVEL, "");
    assert!(
        e.contains("datum=") && e.contains("units=") && e.contains("zone=") && !e.contains("station="),
        "{e}"
    );
    let r = load(LEVEL, "datum=MLLW, units=metric, zone=gmt");
    // The number is what a gauge is known by, the name is for reading.
    assert_eq!(r.origin.station, Known::Known("8729840".into()));
    assert_eq!(
        r.origin.words(),
        "NOAA CO-OPS observed water level, 8729840 Pensacola (coops_water_level.json)"
    );
    let all = stations();
    let Found::Station(record) = all.get("pensacola_fl").unwrap() else { panic!("it follows none") };
    let record = &record.source;
    let heard = sift(&r, &[], at("2026-12-01T00:00Z"));
    assert!(!heard[0].water_level.is_empty());
    assert!(
        record.split(|c: char| !c.is_alphanumeric()).any(|w| heard[0].station == Known::Known(w.into())),
        "the outing finds the station's record ({record}) by what it hears: {:?}",
        heard[0].station
    );
    let place = r.origin.place.get().unwrap();
    assert_eq!((place.latitude_deg(), place.longitude_deg()), (30.4044, -87.2112));
    assert_eq!(si(&r.water_level.unwrap().series), [0.409, 0.412, 0.422, 0.429, 0.436, 0.442]);
    assert!(r.notes.iter().any(|n| n.contains("6 readings are preliminary")), "{:?}", r.notes);
    assert!(!r.notes.iter().any(|n| n.contains("doubt")));
    assert!(refused(LEVEL, "station=8638596, datum=MLLW, units=metric, zone=gmt").contains("not of 8638596"));

    let r = load(WIND, "units=metric, zone=gmt");
    assert_eq!(si(&r.wind), [7.0, 6.8, 6.22, 5.44]);
    assert_eq!(
        (deg(&r.wind_from), si(&r.gust)),
        (vec![157.0, 156.0, 149.0, 146.0], vec![11.27, 10.3, 9.91, 8.16])
    );
    let knots = load(WIND, "units=english, zone=gmt");
    assert!((knots.wind.first().unwrap().value.kn() - 7.0).abs() < 1e-12);

    // Air and water temperature look alike.
    let e = refused(AIR, "units=metric, zone=gmt");
    assert!(
        e.contains("product=water_temperature, air_temperature or air_pressure")
            && e.contains("speaks of air"),
        "{e}"
    );
    let r = load(AIR, "product=air_temperature, units=metric, zone=lst America/Chicago");
    assert_eq!((si(&r.air_temperature), r.water_temperature.len()), (vec![28.5, 28.3, 28.4], 0));
    assert_eq!(r.air_temperature.first().unwrap().from, at("2026-10-01T06:00Z"));
    let f = load(
        (AIR.0, &AIR.1.replace("28.5", "80.6").replace("28.3", "").replace("28.4", "80.6")),
        "product=air_temperature, units=english, zone=gmt",
    );
    assert_eq!(si(&f.air_temperature), [27.0, 27.0]);
    // What the columns show is not overruled by what is told.
    let e = refused(WIND, "product=air_pressure, units=metric, zone=gmt");
    assert!(e.contains("told to hold air pressure, and its columns are those of wind"), "{e}");
}

#[test]
fn errors_with_a_good_status_are_errors() {
    for (file, says) in [
        (file!("coops_error_predictions_status200.json"), "Please make sure the Datum input is valid."),
        (file!("coops_error_no_data.json"), "This product may not be offered"),
    ] {
        let e = refused(file, "station=1, datum=MSL, units=metric, zone=gmt");
        assert!(e.contains(says) && e.contains("may mislead") && e.contains("the tide reckoned"), "{e}");
        assert!(e.starts_with(file.0));
    }
    for (text, says) in [
        ("Unable to access data file\n", "`Unable to access data file`"),
        ("\u{feff} <html><body>Unable to access data file</body>", "is an error"),
        ("<!DOCTYPE html><html>", "a web page"),
        ("Error: No data was found. This product", "No data was found"),
        ("", "empty"),
        ("\u{fffd}\u{8}\u{0}", "compressed"),
        ("hello", "begins no file"),
        ("{\"predictions\": [{\"t\":", "no JSON"),
        (
            "{\"title\":\"Not Found\",\"status\":404,\"detail\":\"Unable to provide data\"}",
            "Unable to provide data",
        ),
        ("{\"error\":true,\"reason\":\"Cannot initialize WeatherVariable\"}", "Cannot initialize"),
        ("[1]", "a list"),
        ("{\"a\":1}", "its keys (a)"),
        ("{\"data\":[{\"t\":\"2026-10-01 00:00\",\"v\":NaN}]}", "NaN"),
    ] {
        let e = refused(("x", text), "");
        assert!(e.contains(says), "{text}: {e}");
    }
    assert!(refused(file!("coops_datums.json"), "").contains("table of datums"));
    assert!(refused(LEVEL, "format=nws-gridpoint").contains("told to be nws-gridpoint, and is coops-json"));
    let deep = format!("{{\"data\":{}1{}}}", "[".repeat(400), "]".repeat(400));
    assert!(refused(("x", &deep), "").contains("recursion limit"));
}

#[test]
fn readings_that_the_agency_doubts_are_left_out_and_counted() {
    let said = "datum=MLLW, units=metric, zone=gmt";
    // Of the four marks the first counts outlying samples; flat, too fast and beyond limits are doubts.
    let newest = |flags: &str| {
        let i = LEVEL.1.rfind("\"f\"").unwrap();
        let text = format!("{}{}", &LEVEL.1[..i], LEVEL.1[i..].replacen("0,0,0,0", flags, 1));
        assert_ne!(flags == "0,0,0,0", text != LEVEL.1);
        let r = load((LEVEL.0, &text), said);
        let doubt = r.notes.iter().any(|n| n.contains("1 readings carry") && n.contains("left out"));
        (si(&r.water_level.unwrap().series).len(), doubt)
    };
    assert_eq!(newest("0,0,0,0"), (6, false));
    assert_eq!(newest("1,0,0,0"), (6, false));
    for flags in ["0,1,0,0", "0,0,1,0", "0,0,0,1", "1,1,1,1"] {
        assert_eq!(newest(flags), (5, true), "{flags}");
    }
    // Of verified levels the first mark says that the level is inferred.
    let verified = load((LEVEL.0, &LEVEL.1.replace("\"q\":\"p\"", "\"q\":\"v\"")), said);
    assert_eq!(verified.water_level.unwrap().series.len(), 4);
    let verified =
        load((GAUGE.0, &GAUGE.1.replace(",p", ",v")), "station=9414290, datum=MLLW, units=metric, zone=gmt");
    assert_eq!(si(&verified.water_level.unwrap().series), [1.25, 1.239]);
    // Nor do they take part in the comparison with the tide.
    let tide = tide("san_francisco_ca", "2026-06-29T00:00Z", "2026-07-03T00:00Z");
    let levels = |text: &str| {
        Fits::of("g.csv", text, &Told::default(), &tide, "America/Los_Angeles", &[]).unwrap().ranked[0].levels
    };
    let whole = levels(GAUGE.1);
    assert_eq!(levels(&GAUGE.1.replacen(",0,0,0,0,p", ",0,1,0,0,p", 1)), whole - 1);
}

#[test]
fn currents_and_air_gaps_are_neither_wind_nor_water_level() {
    let said = "station=1, datum=MLLW, units=metric, zone=gmt";
    let currents = r#"{"data":[{"t":"2026-10-01 00:00","s":"12.3","d":"234","b":"4"}]}"#;
    assert!(refused(("c.json", currents), said).contains("currents, which are not read"));
    let csv = "Date Time, Speed, Direction, Bin\n2026-10-01 00:00,12.3,234,4\n";
    assert!(refused(("c.csv", csv), said).contains("names no product"));
    let gap = r#"{"data":[{"t":"2026-10-01 00:00","v":"21.4","s":"0.01","f":"0,0,0,0"}]}"#;
    assert!(refused(("a.json", gap), said).contains("does not say what it holds"));
    // The hour's highest wind and lowest pressure are no readings of an instant.
    let extremes = "#YY  MM DD hh mm PRES PTIME WSPD WDIR WTIME\n#yr  mo dy hr mn hPa hrmn m/s degT hrmn\n\
        2026 10 07 02 50 1012.1 0230 9.9 120 0214\n";
    assert!(refused(("46029.supl", extremes), "").contains("highest wind and lowest pressure"));
}

#[test]
fn a_head_that_was_cut_and_a_station_that_was_not_meant_are_refused() {
    let row = "2026 10 07 02 30 21.5 1.2 3\n";
    let cut = format!("#YY  MM DD hh mm WTMP WVHT VIS\n#yr mo dy hr mn degC m\n{row}");
    assert!(refused(("x", &cut), "").contains("line 2: 7 units under 8 columns"));
    let whole = format!("#YY  MM DD hh mm WTMP WVHT VIS\n#yr mo dy hr mn degC m nmi\n{row}");
    // Told of all files, and meant for the gauge.
    let e = refused(("46253.txt", &whole), "station=9414290");
    assert!(e.contains("told to be of station 9414290, and its name is that of 46253"), "{e}");
    for (name, said) in [("46253_5day.txt", ""), ("46253h2019.txt", ""), ("46253.txt", "station=46253")] {
        assert_eq!(load((name, &whole), said).origin.station, Known::Known("46253".into()), "{name}");
    }
    assert_eq!(load(("buoy.txt", &whole), "station=46253").origin.station, Known::Known("46253".into()));
}

#[test]
fn a_file_told_its_place_keeps_it_unless_it_says_its_own() {
    let degrees = |r: &Report| r.origin.place.get().map(|p| (p.latitude_deg(), p.longitude_deg()));
    let r = load(JUMPS, "station=46253, at=33.576 -118.181");
    assert_eq!(degrees(&r), Some((33.576, -118.181)));
    assert!(load(JUMPS, "station=46253").origin.place.is_unknown());
    assert_eq!(degrees(&load(HOURLY_FILE, "at=1 2")), Some((27.6, -97.2)));
    for bad in ["at=91 0", "at=27.5", "at=27.5/-97", "at=NaN 0", "at=", "at=1 2 3"] {
        assert!(bad.parse::<Told>().is_err(), "{bad}");
    }
    let t: Told = "at=-33.85 151.23".parse().unwrap();
    assert_eq!(serde_json::from_str::<Told>(&serde_json::to_string(&t).unwrap()).unwrap(), t);
}

fn stations() -> Stations {
    Stations::read(&PackText::new("stations.toml", include_str!("fixtures/stations.toml"))).unwrap()
}

fn tide(id: &str, from: &str, to: &str) -> Tide {
    Tide::of_found(&stations().get(id).unwrap(), Interval::new(at(from), at(to)).unwrap()).unwrap()
}

#[test]
fn a_gauge_table_without_datum_is_compared_and_asked() {
    let e = refused(GAUGE, "");
    assert!(["station=", "datum=", "units=", "zone="].iter().all(|w| e.contains(w)), "{e}");
    let tide = tide("san_francisco_ca", "2026-06-29T00:00Z", "2026-07-03T00:00Z");
    // NAVD88 lies 18 mm from MLLW there.
    let datums = [("NAVD88".to_owned(), Length::of_mm(18.0))];
    let fits = Fits::of(GAUGE.0, GAUGE.1, &Told::default(), &tide, "America/Los_Angeles", &datums).unwrap();
    for f in &fits.ranked {
        println!("{:.2} {}", f.misfit, f.words());
    }
    let best: Vec<_> = fits.alike().iter().map(|f| (f.units, f.clock.clone(), f.datum.as_str())).collect();
    assert_eq!(best, [(UnitSystem::Metric, Clock::Gmt, "MLLW"), (UnitSystem::Metric, Clock::Gmt, "NAVD88")]);
    let (mllw, navd) = (&fits.ranked[0], &fits.ranked[1]);
    assert!((mllw.difference.m() - 0.157).abs() < 0.004 && mllw.wander.mm() < 4.0, "{mllw:?}");
    assert!(((navd.difference - mllw.difference).mm() - 18.0).abs() < 1e-6);
    let words = fits.words();
    assert!(
        words[0].contains("units=metric, zone=gmt, datum=MLLW")
            && words[1].contains("cannot be told apart from it (18 mm)"),
        "{words:?}"
    );
    assert!(words.last().unwrap().contains("no answer"));

    // Once told, it is the residual of the case.
    let r = load(GAUGE, "station=9414290, datum=MLLW, units=metric, zone=gmt");
    let levels = r.water_level.unwrap();
    assert_eq!(si(&levels.series), [1.25, 1.239, 1.234, 1.222]);
    let readings: Vec<_> = levels.series.iter().map(|l| (l.from, l.value)).collect();
    let residual = Residual::from_gauge(&tide, &readings).unwrap();
    assert!((residual.value.m() - 0.16).abs() < 0.005, "{residual:?}");
    assert!(r.notes.iter().any(|n| n.contains("4 readings are preliminary")));
    assert!(!r.notes.iter().any(|n| n.contains("doubt")), "{:?}", r.notes);
}

#[test]
fn predictions_betray_their_datum() {
    let tide = tide("pensacola_fl", "2026-09-29T00:00Z", "2026-10-03T00:00Z");
    let (name, text) = file!("coops_datums.json");
    let datums = Datums::read(name, text).unwrap();
    assert!((datums.above("MSL", "MLLW").unwrap().m() - 0.188).abs() < 1e-12);
    assert!(datums.above("GT", "MLLW").is_none() && datums.above("MSL", "IGLD").is_none());
    let fits = Fits::of(
        SIX_MINUTES.0,
        SIX_MINUTES.1,
        &Told::default(),
        &tide,
        "America/Chicago",
        &datums.all_above("MLLW"),
    )
    .unwrap();
    for f in &fits.ranked[..8] {
        println!("{:.2} {}", f.misfit, f.words());
    }
    let best = &fits.ranked[0];
    assert_eq!((best.units, &best.clock), (UnitSystem::Metric, &Clock::Gmt));
    // Mean sea level and mean tide level lie three millimetres apart there.
    assert!(fits.alike().iter().any(|f| f.datum == "MSL" && f.difference.mm().abs() < 3.0));
    assert!(
        fits.alike().iter().all(|f| matches!(f.datum.as_str(), "MSL" | "MTL" | "DTL")),
        "{:?}",
        fits.words()
    );
    // The wrong tide, and a file that is no tide.
    assert!(Fits::of(WIND.0, WIND.1, &Told::default(), &tide, "America/Chicago", &[]).is_err());
    assert!(
        Fits::of(GAUGE.0, GAUGE.1, &Told::default(), &tide, "America/Chicago", &[])
            .unwrap_err()
            .error
            .contains("none of its levels")
    );
}

#[test]
fn a_forecast_holds_over_its_span() {
    let r = load(GRID, "");
    assert_eq!((r.origin.format, r.kind), (Format::NwsGridpoint, Kind::Forecast));
    assert_eq!(r.origin.issued, Known::Known(at("2026-01-11T10:06:35Z")));
    assert_eq!(r.origin.station, Known::Known("cell PHI/34,100".into()));
    let place = r.origin.place.get().unwrap();
    assert!(
        (place.latitude_deg() - 40.530375).abs() < 1e-9 && (place.longitude_deg() + 75.5121).abs() < 1e-9
    );
    assert_eq!(si(&r.air_temperature), [3.333333, 2.777778]);
    let air = r.air_temperature.last().unwrap();
    assert_eq!((air.from, air.to), (at("2026-01-11T05:00Z"), at("2026-01-11T08:00Z")));
    assert!(
        r.air_temperature.holding(at("2026-01-11T07:59Z")).is_some()
            && r.air_temperature.holding(at("2026-01-11T08:00Z")).is_none()
    );
    assert_eq!(si(&r.wind), [1.543333, 3.601111]);
    assert_eq!((si(&r.gust), deg(&r.wind_from)), (vec![2.057778, 6.173333], vec![300.0, 290.0]));
    assert_eq!(r.lightning_level.first().unwrap().to, at("2026-01-14T01:00Z"));
    assert_eq!(r.weather.iter().map(|w| w.value.as_str()).collect::<Vec<_>>(), ["patchy fog"]);
    // No sea there: neither a calm nor a value.
    assert!(
        r.wave_height.is_empty() && r.peak_period.is_empty() && r.swell.is_empty() && r.wind_sea.is_empty()
    );
    assert!(
        r.questions.iter().any(|q| q.contains("cell PHI/34,100") && q.contains("does not lie on the sea")),
        "{:?}",
        r.questions
    );
    assert!(r.notes.iter().any(|n| n.contains("without a period are no forecast")));
}

/// The same cell as if it lay on the sea.
fn on_the_sea() -> String {
    let layer = |name: &str, uom: &str, values: &str| {
        format!("\"{name}\":{{\"uom\":\"{uom}\",\"values\":[{values}]}}")
    };
    let empty = |name: &str| format!("\"{name}\":{{\"values\":[]}}");
    let mut text = GRID.1.to_owned();
    for (name, uom, values) in [
        (
            "wavePeriod",
            "nwsUnit:s",
            "{\"validTime\":\"2026-01-11T04:00:00+00:00/P2D\",\"value\":9},{\"validTime\":\"2026-01-13T04:00:00+00:00/P2D\",\"value\":0}",
        ),
        (
            "waveDirection",
            "wmoUnit:degree_(angle)",
            "{\"validTime\":\"2026-01-11T04:00:00+00:00/P2D\",\"value\":110}",
        ),
        (
            "probabilityOfThunder",
            "wmoUnit:percent",
            "{\"validTime\":\"2026-01-11T04:00:00+00:00/PT6H\",\"value\":15}",
        ),
    ] {
        assert!(text.contains(&empty(name)), "{name}");
        text = text.replace(&empty(name), &layer(name, uom, values));
    }
    text.replace(
        "{\"validTime\":\"2026-01-11T04:00:00+00:00/P7DT18H\",\"value\":0}",
        "{\"validTime\":\"2026-01-11T04:00:00+00:00/PT12H\",\"value\":1.2192},{\"validTime\":\"2026-01-11T16:00:00+00:00/PT12H\",\"value\":0},{\"validTime\":\"2026-01-13T04:00:00+00:00/P1D\",\"value\":0}",
    )
}

#[test]
fn a_cell_on_the_sea_keeps_a_calm_that_has_a_period() {
    let text = on_the_sea();
    let r = load(("g", &text), "");
    assert_eq!(
        (si(&r.wave_height), si(&r.peak_period), deg(&r.wave_from)),
        (vec![1.2192, 0.0], vec![9.0], vec![110.0])
    );
    assert_eq!(r.thunder_percent.first().unwrap().value, 15.0);
    assert!(!r.questions.iter().any(|q| q.contains("sea")), "{:?}", r.questions);
    let says = |from: &str, to: &str| {
        assert!(text.contains(from), "{from}");
        refused(("g", &text.replacen(from, to, 1)), "")
    };
    assert!(says("nwsUnit:s", "nwsUnit:min").contains("wavePeriod has the unit `nwsUnit:min`"));
    assert!(says("\"uom\":\"nwsUnit:s\",", "").contains("wavePeriod has no unit"));
    assert!(says("wmoUnit:km_h-1", "mph").contains("windSpeed has the unit `mph`"));
    assert!(says("\"value\":1.2192", "\"value\":900").contains("entry 1, waveHeight"));
    assert!(says("\"value\":1.2192", "\"value\":\"NaN\"").contains("no number"));
    assert!(says("+00:00/P2D\",\"value\":9", "/P2D\",\"value\":9").contains("no instant"));
}

const HOURLY: &str = r#"{"latitude":27.6,"longitude":-97.2,"utc_offset_seconds":-21600,"timezone":"America/Chicago",
    "hourly_units":{"time":"iso8601","wave_height":"m","wave_peak_period":"s","wave_period":"s","wave_direction":"°",
    "sea_surface_temperature":"°C","ocean_current_velocity":"km/h","ocean_current_direction":"°","sea_level_height_msl":"m"},
    "hourly":{"time":["2026-12-05T00:00","2026-12-05T01:00","2026-12-05T02:00"],"wave_height":[1.2,null,1.4],
    "wave_peak_period":[8.5,8.6,null],"wave_period":[6.1,6.2,6.3],"wave_direction":[140,141,142],
    "sea_surface_temperature":[18.5,18.4,null],"ocean_current_velocity":[1.8,3.6,null],
    "ocean_current_direction":[45,50,null],"sea_level_height_msl":[0.12,-0.05,null],"tides_of_mars":[1,2,3]}}"#;

const HOURLY_FILE: (&str, &str) = ("h.json", HOURLY);

#[test]
fn hourly_arrays_side_by_side() {
    let r = load(("h.json", HOURLY), "");
    assert_eq!((r.origin.format, r.kind), (Format::HourlyArrays, Kind::Forecast));
    assert_eq!(r.wave_height.first().unwrap().from, at("2026-12-05T06:00Z"));
    assert_eq!(r.wave_height.last().unwrap().from, at("2026-12-05T08:00Z"));
    assert_eq!(
        (si(&r.wave_height), si(&r.peak_period), si(&r.mean_period)),
        (vec![1.2, 1.4], vec![8.5, 8.6], vec![6.1, 6.2, 6.3])
    );
    assert_eq!((si(&r.current), deg(&r.current_toward)), (vec![0.5, 1.0], vec![45.0, 50.0]));
    assert_eq!(si(&r.predicted_level.unwrap().series), [0.12, -0.05]);
    assert!(r.origin.zone.contains("-06") && r.origin.zone.contains("America/Chicago"), "{}", r.origin.zone);
    assert!(
        r.notes.iter().any(|n| n.contains("tides_of_mars"))
            && r.questions.iter().any(|q| q.contains("age is unknown"))
    );
    let says = |from: &str, to: &str| {
        assert!(HOURLY.contains(from), "{from}");
        refused(("h.json", &HOURLY.replacen(from, to, 1)), "")
    };
    assert!(
        says("\"wave_height\":\"m\"", "\"wave_height\":\"cm\"").contains("hourly.wave_height is in `cm`")
    );
    assert!(says("\"wave_height\":\"m\",", "").contains("hourly.wave_height is in `no unit`"));
    assert!(says("[1.2,null,1.4]", "[1.2,null]").contains("2 values for 3 times"));
    assert!(says("1.2,null", "\"1.2\",null").contains("entry 1, hourly.wave_height"));
    assert!(says("iso8601", "unixtime").contains("its times are in"));
    assert!(says("-21600", "999999").contains("50400"));
    assert!(says("\"utc_offset_seconds\":-21600,", "").contains("clock of its times"));
    assert!(says("2026-12-05T01:00", "2026-12-05T25:00").contains("entry 2, hourly.time"));
    assert!(says("8.6,null", "86,null").contains("outside 0.5 to 40 s"));
    let no_peak = HOURLY.replace("wave_peak_period", "x");
    assert!(
        load(("h.json", &no_peak), "")
            .questions
            .iter()
            .any(|q| q.contains("ask the server for wave_peak_period"))
    );
    let inland = HOURLY.replace("[1.2,null,1.4]", "[null,null,null]");
    assert!(load(("h.json", &inland), "").questions.iter().any(|q| q.contains("off the beach")));
}

#[test]
fn wind_and_temperature_as_csv() {
    let wind = "Date Time, Speed, Direction, Direction, Gust, X, R \n2026-10-01 00:00,7.00,157.00,SSE,11.27,0,0\n2026-10-01 00:06,6.80,,,10.30,1,0\n";
    let r = load(("w.csv", wind), "station=8729840, units=metric, zone=gmt");
    assert_eq!(
        (si(&r.wind), deg(&r.wind_from), si(&r.gust)),
        (vec![7.0], vec![157.0], vec![11.27]),
        "what the agency doubts is left out"
    );
    assert!(
        r.notes.iter().any(|n| n.contains("1 readings carry") && n.contains("left out")),
        "{:?}",
        r.notes
    );
    let water =
        "Date Time, Water Temperature, X, N, R \n2026-10-01 00:00,28.1,0,0,0\n2026-10-01 00:06,,0,0,0\n";
    let r = load(("t.csv", water), "station=8729840, units=metric, zone=gmt");
    assert_eq!((si(&r.water_temperature), r.air_temperature.len()), (vec![28.1], 0));
    let waters = "Date Time, Prediction, Type\n2026-10-01 04:10,0.5,H\n2026-10-01 16:20,-0.1,L\n";
    let r = load(("p.csv", waters), "station=8729840, datum=MLLW, units=metric, zone=gmt");
    assert_eq!(r.listed_waters.unwrap().waters.len(), 2);
    let e = refused(
        ("g.csv", &GAUGE.1.replace("1.234,0.067,1", "1.234,0.067")),
        "station=1, datum=MLLW, units=metric, zone=gmt",
    );
    assert!(e.contains("line 4, row"), "{e}");
    assert!(
        refused(("x.csv", "Date Time, Salinity\n2026-10-01 00:00,30\n"), "").contains("names no product")
    );
}
