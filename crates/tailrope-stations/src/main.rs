//! Reads the lines of `dump.mjs` on standard input and writes the world pack to the file named.

use std::io::Read;
use std::process::ExitCode;
use tailrope::quantity::Length;
use tailrope::sea::tide::world::{Constants, Record, World, encode};
use tailrope::{Error, Result};

fn main() -> ExitCode {
    match run() {
        Ok(()) => ExitCode::SUCCESS,
        Err(e) => {
            eprintln!("error: {e}");
            ExitCode::FAILURE
        }
    }
}

fn run() -> Result<()> {
    let machine =
        |place: &str, e: std::io::Error| Error::new(e.to_string(), "", "check path and disk").within(place);
    let Some(out) = std::env::args_os().nth(1) else {
        return Err(Error::new("no file to write", "the path of the pack", "add it: data/stations.bin"));
    };
    let mut text = String::new();
    std::io::stdin().read_to_string(&mut text).map_err(|e| machine("standard input", e))?;
    let packed = tailrope_stations::read(&text)?;
    let bytes = encode(&packed.records)?;
    let world = World::open("stations.bin", bytes.clone())?;
    for (i, r) in packed.records.iter().enumerate() {
        same(r, &world.record(i)?)?;
    }
    std::fs::write(&out, &bytes).map_err(|e| machine(&out.to_string_lossy(), e))?;
    let count = |what: fn(&Record) -> bool| packed.records.iter().filter(|r| what(r)).count();
    eprintln!(
        "{} stations, {} bytes, hash {}: {} with constants, {} that follow one; {} of all set aside",
        world.len(),
        bytes.len(),
        world.hash(),
        count(|r| !r.card.follows),
        count(|r| r.card.follows),
        count(|r| r.card.set_aside.is_some()),
    );
    for (why, ids) in &packed.left_out {
        eprintln!("left out, {why}: {} ({})", ids.len(), ids.join(", "));
    }
    Ok(())
}

/// What was read back is what was written, to the steps of the file.
fn same(a: &Record, b: &Record) -> Result<()> {
    let differs = |what: &str| {
        Err(Error::new(format!("{what} does not read back"), "", "mend the codec").within(&a.card.id))
    };
    let near = |a: Length, b: Length| (a.m() - b.m()).abs() <= 5.1e-5;
    let (ca, cb) = (&a.card, &b.card);
    if (&ca.id, &ca.name, &ca.country, &ca.region, &ca.zone, &ca.set_aside, ca.follows)
        != (&cb.id, &cb.name, &cb.country, &cb.region, &cb.zone, &cb.set_aside, cb.follows)
        || ca.place.distance(cb.place).m() > 1.0
        || (&a.origin, &a.number, &a.epoch, &a.notes) != (&b.origin, &b.number, &b.epoch, &b.notes)
    {
        return differs("the station");
    }
    match (&a.tide, &b.tide) {
        (
            Constants::Own { datum, mean_level, constituents },
            Constants::Own { datum: d, mean_level: m, constituents: list },
        ) => {
            let good = constituents.len() == list.len()
                && constituents.iter().zip(list).all(|(x, y)| {
                    let turn = (x.2.deg() - y.2.deg()).rem_euclid(360.0);
                    x.0 == y.0 && near(x.1, y.1) && (y.1.m() == 0.0 || turn.min(360.0 - turn) <= 0.0051)
                });
            if good && datum == d && near(*mean_level, *m) { Ok(()) } else { differs("a constant") }
        }
        (Constants::Follows { reference, .. }, Constants::Follows { reference: r, .. }) if reference == r => {
            Ok(())
        }
        _ => differs("the tide"),
    }
}
