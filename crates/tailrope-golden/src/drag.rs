//! Golden lines of a drag curve: the readings of the shipped scenario.

use crate::lines::Lines;
use tailrope::Result;
use tailrope::facts::PackText;
use tailrope::outing::Outing;
use tailrope::quantity::{Force, Length};
use tailrope::tackle::drag::{ReadingContext, SetAsk, drag_set};
use tailrope::tackle::{DragCurve, LoadPath, ScalePlace, Setting, Tables};

/// Drag against the lever, the lever against the drag, bands, and what becomes of them with line out.
pub fn drag(out: &mut Lines) -> Result<()> {
    let night = PackText::new("pelican-bar.toml", include_str!("../../../data/demo/pelican-bar.toml"));
    let tables = Tables::read(&PackText::new("tackle.toml", include_str!("../../../data/tackle.toml")))?;
    let outing = Outing::read(&night)?;
    let Some(outfit) = outing.outfit.first() else { return Ok(()) };
    let path = LoadPath::new(outfit, Some(&outing.rig), &tables)?;
    let curve = DragCurve::fit(&outfit.readings, None, &ReadingContext::of(outfit, path.spool(), &tables))?;
    let lever = (10..=100).step_by(5).map(|p| Setting::Lever(f64::from(p) / 100.0));
    let drags = lever.map(|s| curve.drag(s).map(Force::n)).collect::<Result<Vec<_>>>()?;
    let places = drags.iter().map(|n| curve.setting_for(Force::of_n(*n)));
    let places = places.collect::<Result<Vec<_>>>()?.into_iter().map(|s| match s {
        Setting::Lever(x) | Setting::Clicks(x) | Setting::Turns(x) => x,
        Setting::Strike => -1.0,
    });
    out.put_all("drag.lever", places);
    let bands = drags.iter().flat_map(|n| {
        let (read, night) = (curve.as_read(Force::of_n(*n)), curve.band(Force::of_n(*n), &tables.drag.drift));
        [read.low, read.high, night.low, night.high].map(Force::n)
    });
    out.put_all("drag.band", bands);
    out.put_all("drag.curve", drags.iter().copied());
    let ask = SetAsk {
        drag: Force::of_lbf(28.0),
        at: ScalePlace::Tip,
        only: None,
        pull: tailrope::facts::Known::Unknown,
    };
    let set = drag_set(&path, outfit, &tables, Some(&curve), &ask)?;
    let with_line = set.placed.iter().flat_map(|p| &p.with_line_out);
    out.put_all("drag.line_out", with_line.flat_map(|w| [Length::m(w.line_out), w.tip.n()]));
    Ok(())
}
