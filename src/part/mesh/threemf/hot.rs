//! The two tags a 3MF model mostly consists of, read straight from the buffer: a million of each pass through here.
//!
//! Only a tag that stands whole in the buffer in its plainest form is taken. Anything else stays where it is, for the XML
//! reader, which also words the errors.

use super::super::triangles::usable;
use std::io::BufRead;

/// Takes tags `<name a="1" b="2" c="3" />` off the front of the source while their three numbers can be read by `number` and
/// `take` accepts them. Other attributes are passed over. Returns the number of bytes taken.
pub(super) fn run<T: Copy, const N: usize>(
    source: &mut dyn BufRead,
    name: &[u8],
    attributes: [&[u8; N]; 3],
    number: impl Fn(&[u8]) -> Option<(T, usize)>,
    mut take: impl FnMut([T; 3]) -> bool,
) -> std::io::Result<u64> {
    let mut total = 0;
    loop {
        let buffer = source.fill_buf()?;
        let mut taken = 0;
        while let Some((values, used)) = tag(&buffer[taken..], name, attributes, &number) {
            if !take(values) {
                break;
            }
            taken += used;
        }
        source.consume(taken);
        total += taken as u64;
        if taken == 0 {
            return Ok(total);
        }
    }
}

/// The numbers of one tag and its length with the white space before it. `None` for anything but its plain form, whole in
/// the buffer, with each of the three once.
#[inline(always)]
fn tag<T: Copy, const N: usize>(
    buffer: &[u8],
    name: &[u8],
    attributes: [&[u8; N]; 3],
    number: impl Fn(&[u8]) -> Option<(T, usize)>,
) -> Option<([T; 3], usize)> {
    let mut text = buffer.trim_ascii_start().strip_prefix(b"<")?.strip_prefix(name)?;
    let mut found: [Option<T>; 3] = [None; 3];
    loop {
        let spaced = text.trim_ascii_start();
        if let Some(rest) = spaced.strip_prefix(b"/>") {
            return Some(([found[0]?, found[1]?, found[2]?], buffer.len() - rest.len()));
        }
        if spaced.len() == text.len() {
            return None;
        }
        match attributes.iter().position(|a| spaced.starts_with(*a) && spaced.get(N) == Some(&b'=')) {
            Some(i) => {
                let (&quote, value) = spaced[N + 1..].split_first()?;
                let (parsed, used) = number(value)?;
                if !matches!(quote, b'"' | b'\'')
                    || value.get(used) != Some(&quote)
                    || found[i].replace(parsed).is_some()
                {
                    return None;
                }
                text = &value[used + 1..];
            }
            None => {
                let equals = spaced.iter().position(|b| *b == b'=' || *b == b'>')?;
                let (&quote, value) = spaced[equals + 1..].split_first()?;
                if !matches!(quote, b'"' | b'\'') {
                    return None;
                }
                text = &value[value.iter().position(|b| *b == quote)? + 1..];
            }
        }
    }
}

/// Powers of ten that doubles hold exactly.
const TENS: [f64; 23] = [
    1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18, 1e19, 1e20,
    1e21, 1e22,
];

/// A plain decimal at the front and its length, rounded right: digits below 2^53 over an exact power of ten need one
/// division, which rounds once (W. D. Clinger, PLDI 1990). Others, with an exponent or more digits, go to the standard
/// library.
pub(super) fn decimal(text: &[u8]) -> Option<(f64, usize)> {
    let mut at = usize::from(text.first() == Some(&b'-'));
    let negative = at == 1;
    let (mut value, mut places, mut point, mut count) = (0_u64, 0_usize, false, 0_usize);
    while let Some(&b) = text.get(at) {
        match b {
            b'0'..=b'9' => {
                value = value.wrapping_mul(10).wrapping_add(u64::from(b - b'0'));
                count += 1;
                places += usize::from(point);
            }
            b'.' if !point => point = true,
            _ => break,
        }
        at += 1;
    }
    // Nineteen digits cannot overflow the counter.
    let plain = count > 0 && count <= 19 && value < 1 << 53 && places < TENS.len();
    if plain && matches!(text.get(at), Some(b'"' | b'\'')) {
        let magnitude = value as f64 / TENS[places];
        return usable(magnitude).then_some((if negative { -magnitude } else { magnitude }, at));
    }
    let end = text.iter().take(400).position(|b| matches!(b, b'"' | b'\''))?;
    let value: f64 = std::str::from_utf8(&text[..end]).ok()?.parse().ok()?;
    usable(value).then_some((value, end))
}

/// A plain whole number at the front and its length.
pub(super) fn whole(text: &[u8]) -> Option<(u32, usize)> {
    let mut value = 0_u32;
    for (at, &b) in text.iter().take(10).enumerate() {
        match b {
            b'0'..=b'9' if at < 9 => value = value * 10 + u32::from(b - b'0'),
            _ => return (at > 0).then_some((value, at)),
        }
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn decimals_are_those_of_the_standard_library() {
        for text in [
            "0",
            "-0",
            "1",
            "-1.5",
            "0.1",
            "123.456",
            "33.0327",
            ".5",
            "5.",
            "00012.500",
            "90071992.54740991",
            "90071992.54740993",
            "0.30000000000000004",
            "1e-3",
            "-2.5E4",
            "12345678.9012345678905",
            "0.0000000000000000000000000123",
        ] {
            let want = text.parse().ok().map(|v: f64| (v.to_bits(), text.len()));
            assert_eq!(decimal(format!("{text}\"").as_bytes()).map(|(v, n)| (v.to_bits(), n)), want, "{text}");
        }
        for text in ["", "-", ".", "+-1", "1.2.3", "nan", "inf", "1e300", "x"] {
            assert_eq!(decimal(format!("{text}\"").as_bytes()), None, "{text}");
        }
        assert_eq!(decimal(b"12"), None, "the end of the buffer may not be the end of the number");
    }

    #[test]
    fn only_plain_tags_are_taken() {
        let mut source: &[u8] =
            b" <vertex x=\"1\" y='2' z=\"3\" /><vertex a=\"/>\" z=\"3\" y=\"2\" x=\"1\"/> <vertex x=\"1\" y=\"2\" z=\"3\"></vertex>";
        let mut seen = Vec::new();
        let taken = run(&mut source, b"vertex", [b"x", b"y", b"z"], decimal, |t| {
            seen.push(t);
            true
        });
        assert_eq!(seen, [[1.0, 2.0, 3.0]; 2]);
        // 29 and 34 bytes.
        assert_eq!(taken.unwrap(), 63);
        assert!(source.starts_with(b" <vertex x"));
        for bad in [
            "<vertex x=\"1\" y=\"2\"/>",
            "<vertex x=\"1\" x=\"2\" y=\"2\" z=\"1\"/>",
            "<vertexx=\"1\" y=\"2\" z=\"1\"/>",
            "<vertex x=\"1\" y=\"2\" z=\"1",
        ] {
            let mut source = bad.as_bytes();
            assert_eq!(run(&mut source, b"vertex", [b"x", b"y", b"z"], decimal, |_| true).unwrap(), 0, "{bad}");
        }
    }
}
