//! Writing and reading the bytes of the world pack: counts, words, checksums.
//!
//! Reading never believes a number: every count is held against the bytes that are left.

/// Why bytes are no pack, and where.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Broken {
    /// What does not fit.
    pub what: &'static str,
    /// At which byte.
    pub at: usize,
}

pub(super) type Read<T> = Result<T, Broken>;

/// The bytes of a pack, from front to back.
#[derive(Clone, Debug)]
pub(super) struct Reader<'a> {
    bytes: &'a [u8],
    at: usize,
}

impl<'a> Reader<'a> {
    pub fn new(bytes: &'a [u8]) -> Self {
        Self { bytes, at: 0 }
    }

    pub fn left(&self) -> usize {
        self.bytes.len().saturating_sub(self.at)
    }

    pub fn at(&self) -> usize {
        self.at
    }

    pub fn broken<T>(&self, what: &'static str) -> Read<T> {
        Err(Broken { what, at: self.at })
    }

    pub fn take(&mut self, n: usize) -> Read<&'a [u8]> {
        let end = self.at.checked_add(n);
        match end.and_then(|end| self.bytes.get(self.at..end)) {
            Some(part) => {
                self.at += n;
                Ok(part)
            }
            None => self.broken("it ends too early"),
        }
    }

    pub fn byte(&mut self) -> Read<u8> {
        Ok(self.take(1)?.first().copied().unwrap_or_default())
    }

    fn array<const N: usize>(&mut self) -> Read<[u8; N]> {
        let part = self.take(N)?;
        <[u8; N]>::try_from(part).or_else(|_| self.broken("it ends too early"))
    }

    pub fn u16(&mut self) -> Read<u16> {
        self.array().map(u16::from_le_bytes)
    }

    pub fn u32(&mut self) -> Read<u32> {
        self.array().map(u32::from_le_bytes)
    }

    pub fn i32(&mut self) -> Read<i32> {
        self.array().map(i32::from_le_bytes)
    }

    /// A number in groups of seven bits, lowest first.
    pub fn number(&mut self) -> Read<u32> {
        let mut n: u64 = 0;
        for shift in [0, 7, 14, 21, 28] {
            let b = self.byte()?;
            n |= u64::from(b & 0x7f) << shift;
            if b < 0x80 {
                return u32::try_from(n).or_else(|_| self.broken("a number is too large"));
            }
        }
        self.broken("a number is too large")
    }

    /// A number with a sign: 0, -1, 1, -2, 2 ...
    pub fn signed(&mut self) -> Read<i32> {
        let n = self.number()?;
        let half = i32::try_from(n >> 1).unwrap_or(i32::MAX);
        Ok(if n & 1 == 0 { half } else { -half - 1 })
    }

    /// A number no larger than `most`.
    pub fn up_to(&mut self, most: u32) -> Read<u32> {
        let n = self.number()?;
        if n > most { self.broken("a number is beyond what any station has") } else { Ok(n) }
    }

    /// A number with a sign, no further than `most` from 0.
    pub fn within(&mut self, most: u32) -> Read<i32> {
        let n = self.signed()?;
        if n.unsigned_abs() > most { self.broken("a number is beyond what any station has") } else { Ok(n) }
    }

    /// How many items follow, each of at least `least` bytes.
    pub fn count(&mut self, least: usize) -> Read<usize> {
        let n = self.number()? as usize;
        if n > self.left() / least.max(1) {
            return self.broken("a count is larger than what follows");
        }
        Ok(n)
    }

    /// Words of at most `most` bytes: what many records point at must stay small.
    pub fn words(&mut self, most: usize) -> Read<&'a str> {
        let n = self.count(1)?;
        if n > most {
            return self.broken("words are too long");
        }
        let part = self.take(n)?;
        core::str::from_utf8(part).or_else(|_| self.broken("words are not UTF-8"))
    }

    /// One of a list by its position.
    pub fn pick<'l, T>(&mut self, list: &'l [T]) -> Read<&'l T> {
        let i = self.number()? as usize;
        match list.get(i) {
            Some(item) => Ok(item),
            None => self.broken("it points beyond a list"),
        }
    }

    /// Nothing may follow.
    pub fn end(&self) -> Read<()> {
        if self.left() == 0 { Ok(()) } else { self.broken("bytes are left over") }
    }
}

/// Writes a number as [`Reader::number`] reads it.
pub(super) fn put_number(out: &mut Vec<u8>, mut n: u32) {
    while n >= 0x80 {
        out.push(low_seven(n) | 0x80);
        n >>= 7;
    }
    out.push(low_seven(n));
}

fn low_seven(n: u32) -> u8 {
    n.to_le_bytes().first().copied().unwrap_or_default() & 0x7f
}

/// Writes a count or a position. What does not fit in 32 bits cannot be read back, and nothing here is that large.
pub(super) fn put_count(out: &mut Vec<u8>, n: usize) {
    put_number(out, u32::try_from(n).unwrap_or(u32::MAX));
}

/// Writes a signed number as [`Reader::signed`] reads it.
pub(super) fn put_signed(out: &mut Vec<u8>, n: i32) {
    put_number(out, ((n << 1) ^ (n >> 31)).cast_unsigned());
}

/// Writes words as [`Reader::words`] reads them.
pub(super) fn put_words(out: &mut Vec<u8>, words: &str) {
    put_count(out, words.len());
    out.extend_from_slice(words.as_bytes());
}

/// CRC-32 (ISO 3309, reflected polynomial 0xEDB88320): finds every burst of up to 32 wrong bits.
pub(super) fn crc32(bytes: &[u8]) -> u32 {
    const TABLE: [u32; 256] = {
        let mut table = [0u32; 256];
        let (mut i, mut n) = (0, 0u32);
        while i < 256 {
            let mut c = n;
            let mut k = 0;
            while k < 8 {
                c = if c & 1 == 1 { 0xEDB8_8320 ^ (c >> 1) } else { c >> 1 };
                k += 1;
            }
            table[i] = c;
            i += 1;
            n += 1;
        }
        table
    };
    !bytes.iter().fold(!0u32, |c, b| {
        // The index is below 256 by the mask.
        TABLE.get(((c ^ u32::from(*b)) & 0xff) as usize).copied().unwrap_or_default() ^ (c >> 8)
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn the_checksum_is_the_standard_one() {
        assert_eq!(crc32(b"123456789"), 0xCBF4_3926);
    }

    #[test]
    fn counts_are_held_against_what_is_left() {
        let mut r = Reader::new(&[0xff, 0xff, 0xff, 0xff, 0x0f, 1, 2]);
        assert!(r.clone().count(1).is_err());
        assert_eq!(r.number(), Ok(u32::MAX));
        assert!(Reader::new(&[0xff; 9]).number().is_err());
        assert!(Reader::new(&[3, b'a']).words(9).is_err());
        assert!(Reader::new(&[2, b'a', b'b']).words(1).is_err());
        assert!(Reader::new(&[1, 0xff]).words(9).is_err());
    }

    proptest! {
        #[test]
        fn numbers_read_back(n in any::<u32>(), s in any::<i32>(), w in ".{0,40}") {
            let mut out = Vec::new();
            put_number(&mut out, n);
            put_signed(&mut out, s);
            put_words(&mut out, &w);
            let mut r = Reader::new(&out);
            prop_assert_eq!(r.number(), Ok(n));
            prop_assert_eq!(r.signed(), Ok(s));
            prop_assert_eq!(r.words(200), Ok(&*w));
            prop_assert!(r.end().is_ok());
        }
    }
}
