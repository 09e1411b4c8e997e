//! The kit: what tonight asks for, and what is missing.

use crate::Result;
use crate::facts::PackText;
use serde::{Deserialize, Serialize};

/// When an item is needed.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, schemars::JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum When {
    /// Every time.
    Always,
    /// Some of the hours are dark.
    Night,
    /// Somebody takes the bait out afloat.
    Paddle,
    /// A tail rope is used.
    Rope,
    /// The angler is clipped in.
    Harness,
    /// Wire or cable in the leader.
    Metal,
    /// Water under 15 C.
    Cold,
}

/// What its absence costs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Weight {
    /// A caution.
    Safety,
    /// A note.
    Comfort,
}

/// One thing to bring.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Item {
    /// Id used in outing files.
    pub id: String,
    /// Its name on the list.
    pub name: String,
    /// How many in all, or for each person.
    #[serde(default = "one")]
    pub count: u32,
    /// One (or `count`) for each person.
    #[serde(default)]
    pub each: bool,
    /// When it is needed.
    pub when: When,
    /// What its absence costs.
    pub weight: Weight,
}

const fn one() -> u32 {
    1
}

/// The kit pack.
#[derive(Clone, Debug, PartialEq)]
pub struct KitPack {
    /// All items, in packing order.
    pub items: Vec<Item>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Raw {
    #[allow(dead_code)] // read so that a wrong file is refused by its missing schema
    schema: String,
    item: Vec<Item>,
}

impl KitPack {
    /// Reads the pack; refuses an id that stands twice and a count of nothing.
    pub fn read(pack: &PackText<'_>) -> Result<Self> {
        let raw: Raw = pack.read()?;
        for (i, item) in raw.item.iter().enumerate() {
            if item.count == 0 {
                return Err(pack.refuse(
                    &format!("item[{i}].count"),
                    "none of it is asked for",
                    "1 and more",
                    "remove the item or give a number",
                ));
            }
            if raw.item[..i].iter().any(|other| other.id == item.id) {
                return Err(pack.refuse(
                    &format!("item[{i}].id"),
                    format!("`{}` stands twice", item.id),
                    "each id once",
                    "remove one of them",
                ));
            }
        }
        Ok(Self { items: raw.item })
    }

    /// What tonight asks for, in packing order.
    pub fn asked<'a>(&'a self, tonight: &'a [When]) -> impl Iterator<Item = &'a Item> {
        self.items.iter().filter(move |i| i.when == When::Always || tonight.contains(&i.when))
    }
}

impl Item {
    /// As read aloud, for `people`: `4 wearable floats`.
    pub fn words(&self, people: usize) -> String {
        let n = if self.each { self.count as usize * people } else { self.count as usize };
        if self.each {
            format!("{} ({} for each of {people})", self.name, self.count)
        } else if n > 1 && !self.name.starts_with("two") {
            format!("{n} {}", self.name)
        } else {
            self.name.clone()
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn pack() -> KitPack {
        KitPack::read(&PackText::new("kit.toml", include_str!("../../../../data/kit.toml"))).unwrap()
    }

    #[test]
    fn asks_for_what_the_night_needs_and_no_more() {
        let p = pack();
        let ids = |w: &[When]| p.asked(w).map(|i| i.id.clone()).collect::<Vec<_>>();
        let day = ids(&[]);
        assert!(day.contains(&"tourniquet".to_owned()) && !day.contains(&"tail-rope".to_owned()));
        assert!(ids(&[When::Rope]).contains(&"tail-rope".to_owned()));
        assert!(ids(&[When::Paddle, When::Night]).len() > day.len() + 4);
    }

    #[test]
    fn says_numbers() {
        let p = pack();
        let words = |id: &str| p.items.iter().find(|i| i.id == id).unwrap().words(4);
        assert_eq!(words("tourniquet"), "2 tourniquets");
        assert_eq!(words("lights"), "headlamp and a spare (2 for each of 4)");
        assert_eq!(words("throw-bag"), "throw bag, 20 m");
    }

    #[test]
    fn refuses_doubles() {
        let text = include_str!("../../../../data/kit.toml").replace("id = \"vest\"", "id = \"float\"");
        let e = KitPack::read(&PackText::new("kit.toml", &text)).unwrap_err();
        assert!(e.error.contains("stands twice") && e.place.contains("line"), "{e}");
    }
}
