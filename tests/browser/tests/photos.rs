//! Photos of the notebook: what is kept of them, what is refused, and the
//! viewer they are looked at in.

mod help;
#[path = "help/tagged.rs"]
mod tagged;

use browser_tests::{Outcome, Page, json};
use help::{desktop, phone, settle, tap, touch};
use std::path::PathBuf;
use tagged::{TELLTALES, holds, segments};
use tempfile::TempDir;

/// Makes a picture in the page and gives its file as hexadecimal digits.
const MAKE: &str = "
    const [wide, high, type, colorSpace] = arguments;
    const canvas = document.createElement('canvas');
    canvas.width = wide;
    canvas.height = high;
    ((pen) => { DRAW })(canvas.getContext('2d', { colorSpace }));
    return (async () => {
        const blob = await new Promise((done) => canvas.toBlob(done, type, 0.95));
        const bytes = new Uint8Array(await blob.arrayBuffer());
        return Array.from(bytes, (b) => b.toString(16).padStart(2, '0')).join('');
    })();";

/// All photos in the app's database, as hexadecimal digits, and their pixels at
/// given places (parts of width and height).
const STORED: &str = "
    const places = arguments[0];
    const wait = (request) => new Promise((done, failed) => {
        request.onsuccess = () => done(request.result);
        request.onerror = () => failed(request.error);
    });
    return (async () => {
        const names = (await indexedDB.databases()).map((d) => d.name);
        if (!names.includes('faultleaf')) return [];
        const database = await wait(indexedDB.open('faultleaf'));
        if (!database.objectStoreNames.contains('photos')) {
            database.close();
            return [];
        }
        const rows = await wait(database.transaction('photos').objectStore('photos').getAll());
        database.close();
        const out = [];
        for (const row of rows) {
            const held = row instanceof Blob ? row : Object.values(row).find(
                (v) => v instanceof Blob || v instanceof ArrayBuffer || ArrayBuffer.isView(v));
            const blob = new Blob([held]);
            const bytes = new Uint8Array(await blob.arrayBuffer());
            const picture = await createImageBitmap(blob);
            const canvas = document.createElement('canvas');
            canvas.width = picture.width;
            canvas.height = picture.height;
            const pen = canvas.getContext('2d', { willReadFrequently: true });
            pen.drawImage(picture, 0, 0);
            out.push({
                hex: Array.from(bytes, (b) => b.toString(16).padStart(2, '0')).join(''),
                pixels: places.map(([x, y]) => [...pen.getImageData(
                    Math.floor(x * canvas.width), Math.floor(y * canvas.height), 1, 1).data]),
            });
        }
        return out;
    })();";

/// A photo as it is kept, and some of its pixels.
struct Kept {
    bytes: Vec<u8>,
    pixels: Vec<[i64; 3]>,
}

/// A form with a photo field.
async fn form(page: &Page) -> Outcome {
    page.open("/consoles").await?;
    page.tap("button", "New console").await?;
    page.find("button", "Take or choose a photo").await?;
    Ok(())
}

/// Gives a file to the photo field.
async fn choose(page: &Page, folder: &TempDir, name: &str, bytes: &[u8]) -> Outcome {
    let file: PathBuf = folder.path().join(name);
    std::fs::write(&file, bytes)?;
    page.choose_file("#photo-photo", &file).await
}

async fn make(page: &Page, size: (u32, u32), kind: &str, draw: &str) -> anyhow::Result<Vec<u8>> {
    make_in(page, size, kind, draw, "srgb").await
}

async fn make_in(
    page: &Page,
    size: (u32, u32),
    kind: &str,
    draw: &str,
    colours: &str,
) -> anyhow::Result<Vec<u8>> {
    let given = [json!(size.0), json!(size.1), json!(kind), json!(colours)];
    let hex = page.run(&MAKE.replace("DRAW", draw), &given).await?;
    Ok(unhex(hex.as_str().unwrap_or_default()))
}

fn unhex(text: &str) -> Vec<u8> {
    let pairs = text.as_bytes().chunks(2);
    pairs
        .map(|p| u8::from_str_radix(std::str::from_utf8(p).unwrap(), 16).unwrap())
        .collect()
}

/// The only photo in the database.
async fn kept(page: &Page, places: &[(f64, f64)]) -> anyhow::Result<Kept> {
    page.find("button", "Open photo").await?;
    let count = format!("{} .then((all) => all.length === 1)", once());
    page.wait_true("one photo in the database", &count).await?;
    let all = page.run(STORED, &[json!(places)]).await?;
    let one = &all[0];
    let pixel = |p: &browser_tests::Value| [0, 1, 2].map(|i| p[i].as_i64().unwrap());
    Ok(Kept {
        bytes: unhex(one["hex"].as_str().unwrap_or_default()),
        pixels: one["pixels"]
            .as_array()
            .unwrap()
            .iter()
            .map(pixel)
            .collect(),
    })
}

/// The script as an expression without places.
fn once() -> String {
    format!("return (function () {{ {STORED} }})([])")
}

/// No photo in the database.
async fn nothing_kept(page: &Page) -> Outcome {
    settle(page).await?;
    let all = page.run(STORED, &[json!([])]).await?;
    anyhow::ensure!(all == json!([]), "something was kept: {all}");
    page.find("button", "Take or choose a photo").await?;
    Ok(())
}

#[test]
fn tagged_photo_really_says_where_it_was_taken() {
    // Else the tests below would find nothing in any case.
    let file = tagged::tag(&[0xFF, 0xD8, 0xFF, 0xD9], 6);
    let read = exif::Reader::new()
        .read_from_container(&mut std::io::Cursor::new(&file))
        .unwrap();
    let says = |tag| {
        let field = read.get_field(tag, exif::In::PRIMARY);
        field.map(|f| f.display_value().to_string())
    };
    let wanted = "12 deg 34 min 56 sec".to_owned();
    assert_eq!(says(exif::Tag::GPSLatitude), Some(wanted));
    assert_eq!(says(exif::Tag::GPSLongitudeRef).as_deref(), Some("W"));
    let turned = "row 0 at right and column 0 at top";
    assert_eq!(says(exif::Tag::Orientation).as_deref(), Some(turned));
    for telltale in TELLTALES {
        assert!(holds(&file, telltale), "{telltale:?}");
    }
}

#[test]
fn only_the_pixels_of_a_photo_are_kept_and_it_is_turned() {
    phone(async |page| {
        let folder = tempfile::tempdir()?;
        form(page).await?;
        let halves = "pen.fillStyle = '#c00'; pen.fillRect(0, 0, wide / 2, high);
            pen.fillStyle = '#00c'; pen.fillRect(wide / 2, 0, wide / 2, high);";
        // With a profile of colours in it, as phones write it.
        let plain = make_in(page, (400, 200), "image/jpeg", halves, "display-p3").await?;
        assert!(holds(&plain, b"ICC_PROFILE"));
        assert_eq!(segments(&plain).1, (400, 200));
        choose(page, &folder, "board.jpg", &tagged::tag(&plain, 6)).await?;
        let kept = kept(page, &[(0.5, 0.1), (0.5, 0.9)]).await?;
        // Beside tables and pixels a JPEG holds what its writer says about it. It
        // must be what the browser says of a canvas that never saw the photo.
        let other = make(page, (200, 400), "image/jpeg", "pen.fillRect(0, 0, 9, 9)").await?;
        let words = tagged::words(&kept.bytes);
        let all: Vec<_> = words.iter().map(|(m, w)| (m, w.len())).collect();
        assert!(words == tagged::words(&other), "more than that: {all:02X?}");
        assert!(words != tagged::words(&plain), "the photo's own profile");
        let (markers, size) = segments(&kept.bytes);
        assert!(!markers.contains(&0xE1), "{markers:02X?}");
        for telltale in TELLTALES {
            assert!(!holds(&kept.bytes, telltale), "{telltale:?} is still there");
        }
        assert!(!holds(&kept.bytes, b"GPS"));
        let read = exif::Reader::new().read_from_container(&mut std::io::Cursor::new(&kept.bytes));
        assert!(read.is_err(), "another parser still finds something");
        // Lying in the file, standing on the screen: what was left is on top.
        assert_eq!(size, (200, 400));
        let [top, bottom] = kept.pixels[..] else {
            anyhow::bail!("two pixels were asked for")
        };
        assert!(top[0] > 150 && top[2] < 60, "not red: {top:?}");
        assert!(bottom[2] > 150 && bottom[0] < 60, "not blue: {bottom:?}");
        let log = page.log().await?;
        assert!(log.is_empty(), "{log:#?}");
        Ok(())
    });
}

#[test]
fn a_large_picture_is_made_smaller_without_losing_fine_lines() {
    phone(async |page| {
        let folder = tempfile::tempdir()?;
        form(page).await?;
        // Left: lines one pixel wide, which must become grey, whatever pixel is
        // looked at. Right: nothing, which must become white.
        let lines = "for (let x = 0; x < wide / 2; x += 2) pen.fillRect(x, 0, 1, high);
            pen.globalCompositeOperation = 'destination-over';
            pen.fillStyle = '#fff'; pen.fillRect(0, 0, wide / 2, high);";
        let png = make(page, (4000, 3000), "image/png", lines).await?;
        choose(page, &folder, "board.png", &png).await?;
        let mut places = vec![(0.75, 0.5)];
        places.extend((0..40).map(|n| (0.1 + f64::from(n) / 1600.0, 0.5)));
        let kept = kept(page, &places).await?;
        assert_eq!(segments(&kept.bytes).1, (1600, 1200));
        let (white, grey) = kept.pixels.split_first().unwrap();
        assert!(white.iter().all(|v| *v > 250), "not white: {white:?}");
        for pixel in grey {
            assert!(
                pixel.iter().all(|v| (80..=175).contains(v)),
                "not grey: {pixel:?} of {grey:?}"
            );
        }
        Ok(())
    });
}

#[test]
fn a_small_picture_keeps_its_size() {
    phone(async |page| {
        let folder = tempfile::tempdir()?;
        form(page).await?;
        let png = make(page, (3, 1599), "image/png", "pen.fillRect(0, 0, 3, 800)").await?;
        choose(page, &folder, "strip.png", &png).await?;
        let kept = kept(page, &[(0.0, 0.1)]).await?;
        assert_eq!(segments(&kept.bytes).1, (3, 1599));
        Ok(())
    });
}

#[test]
fn what_is_no_photo_is_refused_in_words() {
    phone(async |page| {
        let folder = tempfile::tempdir()?;
        form(page).await?;
        let huge = "<svg xmlns='http://www.w3.org/2000/svg' width='10000' height='10000'/>";
        let cut = make(page, (400, 400), "image/png", "pen.fillRect(0, 0, 9, 9)").await?;
        let half = make(
            page,
            (400, 400),
            "image/jpeg",
            "pen.fillRect(0, 0, 90, 390)",
        )
        .await?;
        let files: [(&str, &[u8], &str); 6] = [
            (
                "log.jpg",
                b"slot 07  step 0A",
                "can't read the file as a picture",
            ),
            ("log.txt", b"slot 07  step 0A", "is not a picture"),
            ("empty.jpg", b"", "This file is empty"),
            ("huge.svg", huge.as_bytes(), "too large for the notebook"),
            // Half a photo is not kept as if it were the whole.
            (
                "half.jpg",
                &half[..half.len() - 40],
                "can't read the file as a picture",
            ),
            ("cut.png", &cut[..20], "can't read the file as a picture"),
        ];
        for (name, bytes, words) in files {
            choose(page, &folder, name, bytes).await?;
            page.sees(words).await?;
            nothing_kept(page).await?;
        }
        // The field works after all that.
        let png = make(page, (40, 30), "image/png", "pen.fillRect(0, 0, 9, 9)").await?;
        choose(page, &folder, "good.png", &png).await?;
        kept(page, &[]).await?;
        Ok(())
    });
}

const POSE: &str = "return document.querySelector('dialog:modal .photo-box img').style.transform";
const SHOWN: &str = "const i = document.querySelector('dialog:modal .photo-box img');
    return !!i && i.complete && i.naturalWidth === 400";
const CLOSED: &str = "return !document.querySelector('dialog:modal')";

async fn with_photo(page: &Page) -> Outcome {
    let folder = tempfile::tempdir()?;
    form(page).await?;
    let board = "pen.fillStyle = '#164'; pen.fillRect(0, 0, wide, high);
        pen.fillStyle = '#fff'; pen.font = '20px monospace'; pen.fillText('C1104', 180, 150);";
    let png = make(page, (400, 300), "image/png", board).await?;
    choose(page, &folder, "board.png", &png).await?;
    tap(page, "button", "Open photo").await?;
    page.wait_true("the photo", SHOWN).await
}

async fn pose_has(page: &Page, part: &str) -> Outcome {
    let there = format!("{POSE}.includes('{part}')");
    page.wait_true(part, &there).await
}

async fn key(page: &Page, key: &str) -> Outcome {
    Ok(page
        .driver()
        .action_chain()
        .send_keys(key)
        .perform()
        .await?)
}

#[test]
fn a_photo_fills_the_screen_and_is_looked_at_closely() {
    phone(async |page| {
        with_photo(page).await?;
        for theme in ["light", "dark"] {
            page.prefers("prefers-color-scheme", theme).await?;
            page.shot(&format!("viewer-{theme}")).await?;
            let found = page.accessibility().await?;
            assert!(found.is_empty(), "{theme}: {found:#?}");
            let dark =
                "return getComputedStyle(document.querySelector('dialog:modal')).backgroundColor";
            assert_eq!(page.run(dark, &[]).await?, "rgb(0, 0, 0)");
        }
        let fits = "const d = document.querySelector('dialog:modal');
            const r = d.getBoundingClientRect();
            const small = [...d.querySelectorAll('button')].filter((b) => {
                const s = b.getBoundingClientRect();
                return s.width < 44 || s.height < 44 || s.bottom > innerHeight;
            });
            const all = r.width === innerWidth && r.height === innerHeight;
            return all && small.length === 0 && d.scrollHeight <= d.clientHeight";
        assert_eq!(
            page.run(fits, &[]).await?,
            true,
            "fills the screen, buttons of 44 px"
        );
        for (button, part) in [
            ("Closer", "scale(1.4)"),
            ("Turn", "rotate(90deg)"),
            ("Left", "translate(80px, 0px)"),
            ("Up", "translate(80px, 60px)"),
        ] {
            page.tap("button", button).await?;
            pose_has(page, part).await?;
        }
        page.tap("button", "Wider").await?;
        pose_has(page, "scale(1)").await?;
        page.tap("button", "Fit").await?;
        pose_has(page, "translate(0px, 0px) scale(1) rotate(0deg)").await?;
        // Pinched with two fingers, away from the middle: the point between
        // them stays under them.
        let middle =
            "const r = document.querySelector('dialog:modal .photo-box').getBoundingClientRect();
            return [r.left + r.width / 2, r.top + r.height / 2]";
        let middle = page.run(middle, &[]).await?;
        let (x, y) = (
            middle[0].as_f64().unwrap() + 50.0,
            middle[1].as_f64().unwrap(),
        );
        touch(page, "touchStart", &[(x - 20.0, y), (x + 20.0, y)]).await?;
        touch(page, "touchMove", &[(x - 60.0, y), (x + 60.0, y)]).await?;
        touch(page, "touchEnd", &[]).await?;
        let zoomed = "const t = document.querySelector('dialog:modal .photo-box img').style.transform;
            const [, left, , scale] = /translate\\(([^p]*)px, ([^p]*)px\\) scale\\(([^)]*)\\)/.exec(t).map(Number);
            return scale > 2.9 && Math.abs(left - 50 * (1 - scale)) < 2";
        page.wait_true("the photo zoomed about the fingers", zoomed)
            .await?;
        page.tap("button", "Close").await?;
        page.wait_true("the viewer to close", CLOSED).await?;
        let back = "return (document.activeElement.getAttribute('aria-label') || '').startsWith('Open photo')";
        page.wait_true("the focus to go back", back).await?;
        // The next look begins with the whole photo.
        page.tap("button", "Open photo").await?;
        page.wait_true("the photo", SHOWN).await?;
        pose_has(page, "translate(0px, 0px) scale(1) rotate(0deg)").await?;
        assert_eq!(page.overhang().await?, 0);
        Ok(())
    });
}

#[test]
fn the_viewer_works_with_keys_alone() {
    desktop(async |page| {
        with_photo(page).await?;
        let on_photo = "return document.activeElement.className === 'photo-box'";
        page.wait_true("the focus on the photo", on_photo).await?;
        let named = "const n = document.activeElement.getAttribute('aria-label');
            const caption = document.querySelector('#viewer-caption').innerText.replace(/\\.$/, '');
            return caption !== '' && n.startsWith(caption + '. Arrow keys move it')";
        assert_eq!(page.run(named, &[]).await?, true, "caption as name");
        key(page, "+").await?;
        pose_has(page, "scale(1.25)").await?;
        key(page, "-").await?;
        pose_has(page, "scale(1)").await?;
        key(page, "\u{E014}").await?;
        pose_has(page, "translate(-40px, 0px)").await?;
        // From a button the keys move the photo as well, once each.
        key(page, "\u{E004}").await?;
        key(page, "\u{E013}").await?;
        pose_has(page, "translate(-40px, 40px)").await?;
        page.shot("viewer-desktop").await?;
        key(page, "\u{E00C}").await?;
        page.wait_true("the viewer to close", CLOSED).await?;
        let back = "return (document.activeElement.getAttribute('aria-label') || '').startsWith('Open photo')";
        page.wait_true("the focus to go back", back).await
    });
}

#[test]
fn very_large_text_leaves_the_photo_its_room() {
    phone(async |page| {
        with_photo(page).await?;
        page.text_size(2.0).await?;
        page.shot("viewer-large-text").await?;
        let room = "return document.querySelector('dialog:modal .photo-box').getBoundingClientRect().height / innerHeight >= 0.44";
        assert_eq!(page.run(room, &[]).await?, true);
        tap(page, "button", "Down").await?;
        pose_has(page, "translate(0px, -60px)").await?;
        assert_eq!(page.overhang().await?, 0);
        Ok(())
    });
}
