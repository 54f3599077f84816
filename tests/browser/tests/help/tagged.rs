//! A photo that says where, when and how it was taken, made by hand.

/// What the photo says about itself, as bytes that must be nowhere in a photo
/// that was taken in.
pub const TELLTALES: [&[u8]; 6] = [
    b"Exif\0\0",
    b"Larkfield Camera",
    b"taken at the GPS place",
    b"2007:11:03 21:40:15",
    b"NETWORK",
    b"2007:11:03\0",
];

/// The APP1 segment with the values the tests need.
///
/// By the EXIF 2.32 standard, from memory: marker `FF E1`, length, `Exif\0\0`,
/// then a TIFF file: byte order, 42, offset of the first list of tags. A tag is
/// number, type (1 byte, 2 text, 3 short, 4 long, 5 fraction, 7 anything),
/// count, and the value or its offset. Tags: `010E` description, `010F` maker,
/// `0112` orientation, `0132` time, `8825` where the GPS list is; there `00`
/// version, `01` to `04` latitude and longitude, `1B` way of finding, `1D` day.
/// `tagged_photo_really_says_where_it_was_taken` reads it with another parser.
pub fn app1(orientation: u16) -> Vec<u8> {
    let mut tiff = b"MM\0\x2A\0\0\0\x08".to_vec();
    let main = [
        (0x010E, text("taken at the GPS place")),
        (0x010F, text("Larkfield Camera")),
        (0x0112, (3, 1, orientation.to_be_bytes().to_vec())),
        (0x0132, text("2007:11:03 21:40:15")),
        // Where the GPS list begins, right after this one and its values.
        (0x8825, (4, 1, vec![0; 4])),
    ];
    let start = 8 + list_size(&main);
    let mut main = main;
    main[4].1.2 = u32::try_from(start).unwrap().to_be_bytes().to_vec();
    put_list(&mut tiff, &main);
    assert_eq!(tiff.len(), start);
    let gps = [
        (0x00, (1, 4, vec![2, 3, 0, 0])),
        (0x01, text("N")),
        (0x02, degrees([12, 34, 56])),
        (0x03, text("W")),
        (0x04, degrees([30, 20, 10])),
        (0x1B, (7, 15, b"ASCII\0\0\0NETWORK".to_vec())),
        (0x1D, text("2007:11:03")),
    ];
    put_list(&mut tiff, &gps);
    let mut out = vec![0xFF, 0xE1];
    let length = u16::try_from(2 + 6 + tiff.len()).unwrap();
    out.extend(length.to_be_bytes());
    out.extend(b"Exif\0\0");
    out.extend(tiff);
    out
}

/// Type, count, bytes.
type Held = (u16, u32, Vec<u8>);

fn text(text: &str) -> Held {
    let mut bytes = text.as_bytes().to_vec();
    bytes.push(0);
    (2, u32::try_from(bytes.len()).unwrap(), bytes)
}

fn degrees(parts: [u32; 3]) -> Held {
    let bytes = parts
        .iter()
        .flat_map(|p| [p.to_be_bytes(), 1u32.to_be_bytes()].concat())
        .collect();
    (5, 3, bytes)
}

fn list_size(tags: &[(u16, Held)]) -> usize {
    let beyond = tags.iter().map(|(_, (_, _, bytes))| bytes.len());
    2 + 12 * tags.len() + 4 + beyond.filter(|n| *n > 4).map(|n| n + n % 2).sum::<usize>()
}

fn put_list(tiff: &mut Vec<u8>, tags: &[(u16, Held)]) {
    let mut offset = tiff.len() + 2 + 12 * tags.len() + 4;
    let mut beyond = Vec::new();
    tiff.extend(u16::try_from(tags.len()).unwrap().to_be_bytes());
    for (tag, (kind, count, bytes)) in tags {
        tiff.extend(tag.to_be_bytes());
        tiff.extend(kind.to_be_bytes());
        tiff.extend(count.to_be_bytes());
        let mut bytes = bytes.clone();
        if bytes.len() <= 4 {
            bytes.resize(4, 0);
            tiff.extend(bytes);
            continue;
        }
        tiff.extend(u32::try_from(offset).unwrap().to_be_bytes());
        if bytes.len() % 2 == 1 {
            bytes.push(0);
        }
        offset += bytes.len();
        beyond.extend(bytes);
    }
    tiff.extend([0; 4]);
    tiff.extend(beyond);
}

/// Puts the segment into a JPEG, right after its beginning, and a comment too.
pub fn tag(jpeg: &[u8], orientation: u16) -> Vec<u8> {
    assert!(jpeg.starts_with(&[0xFF, 0xD8]), "not a JPEG");
    let comment = [&[0xFF, 0xFE, 0, 9][..], b"NETWORK"].concat();
    [&jpeg[..2], &app1(orientation), &comment, &jpeg[2..]].concat()
}

/// The markers of a JPEG's segments up to the picture itself, and its size as
/// (width, height).
pub fn segments(jpeg: &[u8]) -> (Vec<u8>, (u32, u32)) {
    let (mut markers, mut size) = (Vec::new(), (0, 0));
    walk(jpeg, |marker, body| {
        markers.push(marker);
        // Frame headers, but not the tables that share their range.
        if (0xC0..=0xCF).contains(&marker) && ![0xC4, 0xC8, 0xCC].contains(&marker) {
            let two = |i: usize| u32::from(u16::from_be_bytes([body[i], body[i + 1]]));
            size = (two(3), two(1));
        }
    });
    (markers, size)
}

/// The segments that are neither tables nor the picture: marker and bytes.
pub fn words(jpeg: &[u8]) -> Vec<(u8, Vec<u8>)> {
    let mut words = Vec::new();
    walk(jpeg, |marker, body| {
        if (0xE0..=0xEF).contains(&marker) || marker == 0xFE {
            words.push((marker, body.to_vec()));
        }
    });
    words
}

fn walk(jpeg: &[u8], mut each: impl FnMut(u8, &[u8])) {
    assert!(jpeg.starts_with(&[0xFF, 0xD8]), "not a JPEG");
    let mut at = 2;
    loop {
        assert_eq!(jpeg[at], 0xFF, "no segment at {at}");
        let marker = jpeg[at + 1];
        let length = usize::from(u16::from_be_bytes([jpeg[at + 2], jpeg[at + 3]]));
        each(marker, &jpeg[at + 4..at + 2 + length]);
        if marker == 0xDA {
            return;
        }
        at += 2 + length;
    }
}

/// Whether these bytes stand anywhere in a file.
pub fn holds(file: &[u8], part: &[u8]) -> bool {
    file.windows(part.len()).any(|w| w == part)
}
