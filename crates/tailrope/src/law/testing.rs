//! The shipped packs, for tests.

use super::{LawPacks, Vocabulary};
use crate::facts::PackText;

pub(super) const FACTS: PackText<'static> =
    PackText::new("law-facts.toml", include_str!("../../../../data/law-facts.toml"));

pub(super) const PACKS: &[PackText<'static>] = &[
    PackText::new("law/au-nsw.toml", include_str!("../../../../data/law/au-nsw.toml")),
    PackText::new("law/au-qld.toml", include_str!("../../../../data/law/au-qld.toml")),
    PackText::new("law/au-sa.toml", include_str!("../../../../data/law/au-sa.toml")),
    PackText::new("law/au-wa-cockburn.toml", include_str!("../../../../data/law/au-wa-cockburn.toml")),
    PackText::new("law/au-wa.toml", include_str!("../../../../data/law/au-wa.toml")),
    PackText::new("law/na.toml", include_str!("../../../../data/law/na.toml")),
    PackText::new("law/us-al.toml", include_str!("../../../../data/law/us-al.toml")),
    PackText::new("law/us-ca.toml", include_str!("../../../../data/law/us-ca.toml")),
    PackText::new("law/us-ct.toml", include_str!("../../../../data/law/us-ct.toml")),
    PackText::new("law/us-de.toml", include_str!("../../../../data/law/us-de.toml")),
    PackText::new("law/us-fed-atlantic.toml", include_str!("../../../../data/law/us-fed-atlantic.toml")),
    PackText::new("law/us-fed-general.toml", include_str!("../../../../data/law/us-fed-general.toml")),
    PackText::new("law/us-fed-westcoast.toml", include_str!("../../../../data/law/us-fed-westcoast.toml")),
    PackText::new("law/us-fl.toml", include_str!("../../../../data/law/us-fl.toml")),
    PackText::new("law/us-ga.toml", include_str!("../../../../data/law/us-ga.toml")),
    PackText::new("law/us-hi.toml", include_str!("../../../../data/law/us-hi.toml")),
    PackText::new("law/us-la.toml", include_str!("../../../../data/law/us-la.toml")),
    PackText::new("law/us-ma.toml", include_str!("../../../../data/law/us-ma.toml")),
    PackText::new("law/us-md.toml", include_str!("../../../../data/law/us-md.toml")),
    PackText::new("law/us-ms.toml", include_str!("../../../../data/law/us-ms.toml")),
    PackText::new(
        "law/us-nc-wrightsville-beach.toml",
        include_str!("../../../../data/law/us-nc-wrightsville-beach.toml"),
    ),
    PackText::new("law/us-nc.toml", include_str!("../../../../data/law/us-nc.toml")),
    PackText::new("law/us-nj.toml", include_str!("../../../../data/law/us-nj.toml")),
    PackText::new("law/us-ny.toml", include_str!("../../../../data/law/us-ny.toml")),
    PackText::new("law/us-ri.toml", include_str!("../../../../data/law/us-ri.toml")),
    PackText::new("law/us-sc-folly-beach.toml", include_str!("../../../../data/law/us-sc-folly-beach.toml")),
    PackText::new("law/us-sc-georgetown.toml", include_str!("../../../../data/law/us-sc-georgetown.toml")),
    PackText::new("law/us-sc-hilton-head.toml", include_str!("../../../../data/law/us-sc-hilton-head.toml")),
    PackText::new("law/us-sc-horry.toml", include_str!("../../../../data/law/us-sc-horry.toml")),
    PackText::new(
        "law/us-sc-myrtle-beach.toml",
        include_str!("../../../../data/law/us-sc-myrtle-beach.toml"),
    ),
    PackText::new(
        "law/us-sc-north-myrtle-beach.toml",
        include_str!("../../../../data/law/us-sc-north-myrtle-beach.toml"),
    ),
    PackText::new("law/us-sc.toml", include_str!("../../../../data/law/us-sc.toml")),
    PackText::new("law/us-tx-nueces.toml", include_str!("../../../../data/law/us-tx-nueces.toml")),
    PackText::new(
        "law/us-tx-padre-island.toml",
        include_str!("../../../../data/law/us-tx-padre-island.toml"),
    ),
    PackText::new(
        "law/us-tx-port-aransas.toml",
        include_str!("../../../../data/law/us-tx-port-aransas.toml"),
    ),
    PackText::new("law/us-tx.toml", include_str!("../../../../data/law/us-tx.toml")),
    PackText::new("law/us-va.toml", include_str!("../../../../data/law/us-va.toml")),
    PackText::new("law/za.toml", include_str!("../../../../data/law/za.toml")),
];

pub(super) fn vocabulary() -> Vocabulary {
    Vocabulary::read(&FACTS).unwrap()
}

pub(crate) fn law() -> LawPacks {
    LawPacks::load(&FACTS, PACKS, &[]).unwrap()
}
