//! Words of the library's own lists (stances, sands, hook places ...) as flag values.

use serde::de::{DeserializeOwned, IntoDeserializer, value};
use tailrope::Error;

/// Reads a word as files spell it (`firm-wet`); the refusal lists what is allowed.
pub fn word<T: DeserializeOwned>(text: &str) -> Result<T, Error> {
    let lower = text.trim().to_lowercase().replace(['_', ' '], "-");
    let read: Result<T, value::Error> = T::deserialize(lower.as_str().into_deserializer());
    read.map_err(|e| {
        let message = e.to_string();
        let allowed = message.split_once("expected ").map_or("", |(_, list)| list);
        let allowed = allowed.trim_start_matches("one of ").replace('`', "");
        Error::new(format!("`{}` is not in the list", text.trim()), allowed, "choose one of them")
    })
}

/// The word as files spell it.
pub fn spelled(value: &impl serde::Serialize) -> String {
    match serde_json::to_value(value) {
        Ok(serde_json::Value::String(s)) => s,
        Ok(other) => other.to_string(),
        Err(_) => String::new(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use tailrope::people::Sand;

    #[test]
    fn reads_and_spells_a_word() {
        assert_eq!(word::<Sand>("Firm wet").unwrap(), Sand::FirmWet);
        assert_eq!(spelled(&Sand::FirmWet), "firm-wet");
        let e = word::<Sand>("mud").unwrap_err();
        assert_eq!(
            (e.error.as_str(), e.allowed.as_str()),
            ("`mud` is not in the list", "dry, firm-wet, moving-wash")
        );
    }
}
