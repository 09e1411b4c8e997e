//! Whole plans of the demo scenarios: their verdicts, single edits that must change them, bad input, determinism.

mod support;

#[test]
fn print() {
    let facts = support::facts();
    let text = support::demo("pelican-bar");
    let outing = tailrope::Outing::read(&tailrope::facts::PackText::new("pelican-bar.toml", &text))
        .unwrap_or_else(|e| panic!("{e}"));
    let options = tailrope::outing::Options {
        fights: 2000,
        ..tailrope::outing::Options::on(jiff::civil::date(2026, 10, 16))
    };
    let plan = tailrope::outing::plan(&facts, &outing, &options, &tailrope::outing::one_after_another)
        .unwrap_or_else(|e| panic!("{e}"));
    println!("{}", tailrope::outing::text::render(&plan, options.units, 110));
}
