//! Set-ups that tests share.

use crate::facts::Known;
use crate::quantity::{Force, Length};
use crate::tackle::{
    GuideKind, Hook, HookStyle, Joint, JointKind, LinePiece, LineRole, Material, Outfit, Rig, Section,
    SectionRole,
};

/// An 80-wide with 850 m of 200-lb braid and 100 m of 200-lb nylon; 5.0 m of 400-lb nylon and 1.5 m of 480-lb
/// cable; a circle hook of 5.2 mm wire. Joints as a crew would give them.
pub(crate) fn demo() -> (Outfit, Rig) {
    let mut outfit = Outfit::named("heavy");
    outfit.reel.class = Known::Known("80W".into());
    outfit.guides.kind = Known::Known(GuideKind::Roller);
    let lb = Force::of_lbf;
    let mut main = LinePiece::new(
        LineRole::Main,
        Length::of_m(850.0),
        Material::HmpeBraid,
        lb(200.0),
        Length::of_mm(0.72),
    );
    main.outer = Joint::of(JointKind::BurySplice);
    let mut top = LinePiece::new(
        LineRole::Topshot,
        Length::of_m(100.0),
        Material::Nylon,
        lb(200.0),
        Length::of_mm(1.45),
    );
    top.outer = Joint::of(JointKind::Crimp);
    outfit.line = vec![main, top];
    (outfit, rig())
}

/// The same with 80-lb nylon of 0.9 mm as the whole line.
pub(crate) fn thin() -> (Outfit, Rig) {
    let (mut outfit, rig) = demo();
    let mut main = LinePiece::new(
        LineRole::Main,
        Length::of_m(850.0),
        Material::Nylon,
        Force::of_lbf(80.0),
        Length::of_mm(0.9),
    );
    main.outer = Joint::of(JointKind::MonoKnot);
    outfit.line = vec![main];
    (outfit, rig)
}

fn rig() -> Rig {
    let lb = Force::of_lbf;
    let mut rubbing = Section::new(SectionRole::Rubbing, Material::Nylon, lb(400.0), Length::of_m(5.0));
    rubbing.top = Joint::of(JointKind::Crimp);
    rubbing.bottom = Joint::of(JointKind::Crimp);
    let mut bite = Section::new(SectionRole::Bite, Material::Cable, lb(480.0), Length::of_m(1.5));
    bite.top = Joint::of(JointKind::Crimp);
    bite.bottom = Joint::of(JointKind::Crimp);
    let hook = Hook {
        style: Known::Known(HookStyle::Circle),
        wire: Known::Known(Length::of_mm(5.2)),
        ..Hook::default()
    };
    Rig { name: "wire".into(), sections: vec![rubbing, bite], hook, sinker: None }
}
