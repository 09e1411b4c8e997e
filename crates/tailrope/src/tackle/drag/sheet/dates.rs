//! Dates as sheets write them: the order of day and month is proved or asked, never guessed.

use jiff::civil::Date;
use serde::{Deserialize, Serialize};

/// Which number of `04/06/26` is the day.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum DateOrder {
    /// The first.
    DayFirst,
    /// The second.
    MonthFirst,
}

impl DateOrder {
    /// The words shown.
    pub const fn words(self) -> &'static str {
        match self {
            Self::DayFirst => "day first",
            Self::MonthFirst => "month first",
        }
    }
}

/// The three numbers of `14/06/26`, `14.6.2026`, `14-06-26`; the year last, two digits meaning 2000 to 2099.
fn numbers(text: &str) -> Option<(i8, i8, i16)> {
    let mut parts = text.split(['/', '.', '-']).map(str::trim);
    let (a, b, year) = (parts.next()?, parts.next()?, parts.next()?);
    if parts.next().is_some() || a.len() > 2 || b.len() > 2 || !(year.len() == 2 || year.len() == 4) {
        return None;
    }
    let y: i16 = year.parse().ok()?;
    Some((a.parse().ok()?, b.parse().ok()?, if year.len() == 2 { 2000 + y } else { y }))
}

/// The order that a date proves: one of its first two numbers is above 12.
pub(super) fn proves(text: &str) -> Option<DateOrder> {
    let (a, b, _) = numbers(text)?;
    match (a > 12, b > 12) {
        (true, false) => Some(DateOrder::DayFirst),
        (false, true) => Some(DateOrder::MonthFirst),
        _ => None,
    }
}

/// Reads a date: year-month-day as it stands, others by the order. Refuses, in words, one whose order nobody knows.
pub(super) fn read(text: &str, order: Option<DateOrder>) -> Result<Date, String> {
    let text = text.trim();
    if text.split(['-', '/']).next().is_some_and(|y| y.len() == 4) {
        return text.replace('/', "-").parse().map_err(|_| format!("`{text}` is not a date"));
    }
    let Some((a, b, year)) = numbers(text) else {
        return Err(format!("`{text}` is not a date: write it like 2026-06-14"));
    };
    let (day, month) = match proves(text).or(order) {
        Some(DateOrder::DayFirst) => (a, b),
        Some(DateOrder::MonthFirst) => (b, a),
        None if a == b => (a, b),
        None => {
            return Err(format!(
                "`{text}` could be day or month first, and no line of the sheet tells which"
            ));
        }
    };
    Date::new(year, month, day).map_err(|_| format!("`{text}` is not a date"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_order_is_proved_or_asked() {
        let d = |t: &str, o| read(t, o).map(|d| d.to_string());
        assert_eq!(d("14/06/26", None), Ok("2026-06-14".into()));
        assert_eq!(d("06/14/2026", None), Ok("2026-06-14".into()));
        assert!(d("04/06/26", None).unwrap_err().contains("day or month first"));
        assert_eq!(d("04/06/26", Some(DateOrder::DayFirst)), Ok("2026-06-04".into()));
        assert_eq!(d("04/06/26", Some(DateOrder::MonthFirst)), Ok("2026-04-06".into()));
        assert_eq!(d("6.6.26", None), Ok("2026-06-06".into()));
        assert_eq!(d("2026-06-14", None), Ok("2026-06-14".into()));
        for bad in ["", "14/06", "31/02/26", "14/06/26/1", "yesterday", "14/14/26", "99/99/9999"] {
            assert!(read(bad, None).is_err(), "{bad}");
        }
    }
}
