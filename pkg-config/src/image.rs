//! The size of a picture, from the picture itself, so that the manifest can't
//! tell a wrong one.

/// Width and height of a PNG file; nothing when it is none.
pub fn png_size(bytes: &[u8]) -> Option<(u32, u32)> {
    let rest = bytes.strip_prefix(b"\x89PNG\r\n\x1a\n")?;
    // The first chunk is always the header: length, name, then the two numbers.
    if rest.get(4..8)? != b"IHDR" {
        return None;
    }
    let number = |at: usize| {
        let four: [u8; 4] = rest.get(at..at + 4)?.try_into().ok()?;
        Some(u32::from_be_bytes(four)).filter(|n| *n > 0)
    };
    Some((number(8)?, number(12)?))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::icons::write_png;

    #[test]
    fn the_size_is_read_from_the_header() {
        let picture = write_png(3, 2, &[255; 3 * 2 * 4]).unwrap();
        assert_eq!(png_size(&picture), Some((3, 2)));
    }

    #[test]
    fn anything_else_has_no_size() {
        let picture = write_png(3, 2, &[255; 3 * 2 * 4]).unwrap();
        assert_eq!(png_size(b""), None);
        assert_eq!(png_size(b"<svg width='3' height='2'/>"), None);
        assert_eq!(png_size(&picture[..18]), None);
        assert_eq!(
            png_size(&[&picture[..12], b"XXXX", &picture[16..]].concat()),
            None
        );
    }
}
