//! What the picture says, and that no label lies on another.

use super::*;
use crate::picture::Theme;
use crate::quantity::Force;
use crate::tackle::rig::{leader_load, piece};
use crate::tackle::tables::tests::shipped;
use crate::tackle::{Hook, SectionRole};

fn rig(words: &[(SectionRole, &str)], sinker: Option<&str>) -> Rig {
    Rig {
        name: "<bench> & \u{202e}co".into(),
        sections: words.iter().map(|(r, w)| piece::section(*r, w).unwrap()).collect(),
        hook: piece::hook("circle 5.2mm gap 34mm x1").unwrap(),
        sinker: sinker.map(|w| piece::sinker(w).unwrap()),
    }
}

fn drawn(rig: &Rig) -> Picture {
    let t = shipped();
    let made = rig.made(&t, Known::Known(leader_load(&t, Force::of_lbf(28.0)))).unwrap();
    draw(rig, &made, &t, Units::Metric)
}

#[test]
fn every_part_is_named_once_and_no_label_lies_on_another() {
    let long = rig(
        &[
            (SectionRole::Hand, "1.8m mono 600lb 2.56mm crimp swivel 1000lb"),
            (SectionRole::Rubbing, "42m mono 400lb crimp swivel 1000lb padded"),
            (SectionRole::Bite, "1.2m cable 480lb crimp swivel 1000lb"),
            (SectionRole::Bite, "0.3m single-strand 240lb haywire"),
        ],
        Some("150g weak-link link 12lb arm 0.4m"),
    );
    let pic = drawn(&long);
    let words = pic.words();
    assert_eq!(words.matches("WEAKEST").count(), 1, "{words}");
    for part in [
        "hand section",
        "42 m (drawn broken)",
        "cable, 1.59 mm, 1.2 m",
        "hook: circle",
        "Sinker: 150 g, on a weak link",
    ] {
        assert!(words.contains(part), "{part}: {words}");
    }
    let boxes = pic.label_boxes();
    assert!(boxes.len() > 20);
    for (i, a) in boxes.iter().enumerate() {
        assert!(pic.page().holds(a), "{a:?} leaves {:?}", pic.page());
        for b in &boxes[i + 1..] {
            assert!(!a.meets(b), "{a:?} {b:?}");
        }
    }
    let svg = pic.svg(Theme::Print);
    assert!(svg.contains("&lt;bench&gt; &amp;") && !svg.contains('\u{202e}'), "names are cleaned");
    assert_eq!(svg, drawn(&long).svg(Theme::Print));
}

#[test]
fn sections_are_to_one_scale_until_they_are_broken() {
    let heights = |words: &str| {
        let pic = drawn(&rig(&[(SectionRole::Hand, "1m mono 600lb"), (SectionRole::Bite, words)], None));
        pic.page().height
    };
    let step = heights("2m cable 480lb") - heights("1.5m cable 480lb");
    assert!((step - SHORTEST / 2.0).abs() < 1e-9, "{step}");
    assert!((heights("8m cable 480lb") - heights("20m cable 480lb")).abs() < 1e-9, "broken alike");
    assert!(heights("3m cable 480lb") > heights("2m cable 480lb"));
}

#[test]
fn nothing_known_is_still_a_picture_that_says_so() {
    let empty = Rig { name: String::new(), sections: vec![], hook: Hook::default(), sinker: None };
    let words = drawn(&empty).words();
    assert!(words.contains("unknown") && !words.contains("WEAKEST"), "{words}");
    let vague = rig(&[(SectionRole::Bite, "")], Some(""));
    let words = drawn(&vague).words();
    for part in ["material unknown", "length unknown", "how it hangs is unknown", "WEAKEST KNOWN: hook"] {
        assert!(words.contains(part), "{part}: {words}");
    }
}
