//! Which stretch of coast a season speaks of.

use core::fmt;
use serde::{Deserialize, Deserializer, Serialize, Serializer, de};

macro_rules! regions {
    ($( $name:ident = $code:literal, $doc:literal; )+) => {
        /// A stretch of coast with its own seasons. Read in any case, `GULF_NW` or `gulf-nw`; written `gulf-nw`.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum Region { $( #[doc = $doc] $name, )+ }
        impl Region {
            /// All of them.
            pub const ALL: &'static [Self] = &[$( Self::$name, )+];
            /// The code in files.
            pub const fn code(self) -> &'static str { match self { $( Self::$name => $code, )+ } }
            /// In words.
            pub const fn words(self) -> &'static str { match self { $( Self::$name => $doc, )+ } }
        }
    };
}

regions! {
    UsNe = "us-ne", "US Atlantic, north-east";
    UsMa = "us-ma", "US Atlantic, middle states";
    UsSa = "us-sa", "US Atlantic, south of the middle states to Georgia";
    FlE = "fl-e", "Florida, Atlantic side";
    FlGulf = "fl-gulf", "Florida, Gulf side";
    GulfNw = "gulf-nw", "Gulf of Mexico, north and west";
    ZaKzn = "za-kzn", "South Africa, KwaZulu-Natal";
    ZaEc = "za-ec", "South Africa, Eastern Cape";
    ZaWc = "za-wc", "South Africa, Western Cape";
    Nam = "nam", "Namibia";
    AuQld = "au-qld", "Australia, Queensland";
    AuNsw = "au-nsw", "Australia, New South Wales";
    AuSouth = "au-south", "Australia, southern shore";
    AuWa = "au-wa", "Australia, western shore";
}

impl Region {
    /// Reads a code in any case with `-` or `_`.
    pub fn read(text: &str) -> Option<Self> {
        let code = text.trim().to_ascii_lowercase().replace('_', "-");
        Self::ALL.iter().copied().find(|r| r.code() == code)
    }
}

impl fmt::Display for Region {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.words())
    }
}

impl Serialize for Region {
    fn serialize<S: Serializer>(&self, s: S) -> Result<S::Ok, S::Error> {
        s.serialize_str(self.code())
    }
}

impl<'de> Deserialize<'de> for Region {
    fn deserialize<D: Deserializer<'de>>(d: D) -> Result<Self, D::Error> {
        let text = String::deserialize(d)?;
        Self::read(&text).ok_or_else(|| {
            let all: Vec<&str> = Self::ALL.iter().map(|r| r.code()).collect();
            de::Error::custom(format!("unknown region `{text}`, expected one of {}", all.join(", ")))
        })
    }
}

impl schemars::JsonSchema for Region {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "Region".into()
    }
    fn json_schema(_: &mut schemars::SchemaGenerator) -> schemars::Schema {
        let all: Vec<&str> = Self::ALL.iter().map(|r| r.code()).collect();
        schemars::json_schema!({ "type": "string", "enum": all })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn reads_both_spellings() {
        for r in Region::ALL {
            assert_eq!(Region::read(r.code()), Some(*r));
            assert_eq!(Region::read(&r.code().to_uppercase().replace('-', "_")), Some(*r));
        }
        assert_eq!(Region::read("TX"), None);
        let e = serde_json::from_str::<Region>("\"tx\"").unwrap_err().to_string();
        assert!(e.contains("gulf-nw"), "{e}");
    }
}
