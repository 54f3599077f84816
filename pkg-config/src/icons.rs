//! Draws the icons anew from the drawings in `pkg-config/art`.
//!
//! A browser turns the drawings into pixels; here they are written as PNG
//! files with a small palette, because icons count in the budget. This is done
//! by hand when a drawing changes, and the results are kept in the repository,
//! so that a build needs no browser.

use crate::command::{self, run_within};
use crate::places::Places;
use crate::step::{problem, say};
use anyhow::Context;
use std::collections::BTreeMap;
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::Duration;

/// Drawing, finished file, width in pixels. The names say what the manifest
/// uses them for; `icon-` and `maskable-` are found by their start.
const ICONS: [(&str, &str, u32); 5] = [
    ("icon.svg", "icon-192.png", 192),
    ("icon.svg", "icon-512.png", 512),
    ("maskable.svg", "maskable-512.png", 512),
    ("maskable.svg", "apple-180.png", 180),
    ("icon.svg", "shortcut-96.png", 96),
];

/// Draws all icons into `public/icons`.
///
/// # Errors
/// When no browser is found or a picture can't be written.
pub fn draw(places: &Places) -> anyhow::Result<()> {
    let Some(browser) = command::which("chromium") else {
        return Err(problem(
            "drawing the icons needs a browser",
            "install the package chromium.",
        ));
    };
    let work = places.target.join("icons");
    std::fs::create_dir_all(&work)?;
    std::fs::create_dir_all(places.public("icons"))?;
    for (drawing, name, width) in ICONS {
        let svg = places.own("art").join(drawing);
        let page = work.join("page.html");
        let html = format!(
            "<!DOCTYPE html><body style=\"margin:0\"><img width={width} height={width} style=\"display:block\" src=\"file://{}\">",
            svg.display()
        );
        std::fs::write(&page, html)?;
        let shot = work.join(name);
        let picture = photograph(&browser, &page, &shot)?;
        let small = smaller(&picture, width).with_context(|| format!("can't write {name}"))?;
        say(&format!("    {name}: {} bytes", small.len()));
        std::fs::write(places.public("icons").join(name), small)?;
    }
    std::fs::copy(
        places.own("art").join("favicon.svg"),
        places.public("icons/favicon.svg"),
    )?;
    Ok(())
}

fn photograph(browser: &Path, page: &Path, shot: &Path) -> anyhow::Result<Vec<u8>> {
    let mut command = Command::new(browser);
    command.args([
        "--headless",
        "--no-sandbox",
        "--disable-gpu",
        "--hide-scrollbars",
        "--no-first-run",
    ]);
    command.args([
        "--disable-background-networking",
        "--disable-component-update",
        "--disable-sync",
    ]);
    command.args([
        "--force-device-scale-factor=1",
        "--default-background-color=00000000",
    ]);
    // Larger than needed, then cut: part of a small window is the browser's own.
    command.arg("--window-size=800,800");
    command.arg(format!(
        "--user-data-dir={}",
        page.with_file_name("profile").display()
    ));
    command.arg(format!("--screenshot={}", shot.display()));
    command.arg(format!("file://{}", page.display()));
    command.stdout(Stdio::null()).stderr(Stdio::null());
    run_within(&mut command, Duration::from_secs(60))?;
    Ok(std::fs::read(shot)?)
}

/// The square at the top left, with a palette.
fn smaller(picture: &[u8], width: u32) -> anyhow::Result<Vec<u8>> {
    let mut reader = png::Decoder::new(std::io::Cursor::new(picture)).read_info()?;
    let mut pixels = vec![0; reader.output_buffer_size().context("a picture too large")?];
    let frame = reader.next_frame(&mut pixels)?;
    pixels.truncate(frame.buffer_size());
    let four = match frame.color_type {
        png::ColorType::Rgba => pixels,
        png::ColorType::Rgb => pixels
            .chunks_exact(3)
            .flat_map(|p| p.iter().copied().chain([255]))
            .collect(),
        other => anyhow::bail!("a picture of an unexpected kind: {other:?}"),
    };
    let (row, side) = (frame.width as usize * 4, width as usize);
    let square: Vec<u8> = four
        .chunks_exact(row)
        .take(side)
        .flat_map(|r| r.iter().copied().take(side * 4))
        .collect();
    write_png(width, width, &square)
}

/// Writes pixels (red, green, blue, opacity) with a palette of at most 16
/// colours: the drawings have four, and the rest smooths their edges.
///
/// # Errors
/// When the number of pixels doesn't fit the size.
pub fn write_png(width: u32, height: u32, pixels: &[u8]) -> anyhow::Result<Vec<u8>> {
    let palette = palette(pixels);
    let mut out = Vec::new();
    let mut encoder = png::Encoder::new(&mut out, width, height);
    encoder.set_color(png::ColorType::Indexed);
    encoder.set_depth(png::BitDepth::Four);
    encoder.set_palette(
        palette
            .iter()
            .flat_map(|[r, g, b, _]| [*r, *g, *b])
            .collect::<Vec<u8>>(),
    );
    if palette.iter().any(|[.., opacity]| *opacity < 255) {
        encoder.set_trns(
            palette
                .iter()
                .map(|[.., opacity]| *opacity)
                .collect::<Vec<u8>>(),
        );
    }
    encoder.set_compression(png::Compression::High);
    encoder.set_filter(png::Filter::NoFilter);
    let mut writer = encoder.write_header()?;
    writer.write_image_data(&places(pixels, &palette, width as usize))?;
    writer.finish()?;
    Ok(out)
}

/// The commonest colours that are not nearly the same.
fn palette(pixels: &[u8]) -> Vec<[u8; 4]> {
    let mut counts: BTreeMap<[u8; 4], usize> = BTreeMap::new();
    for colour in colours(pixels) {
        *counts.entry(colour).or_default() += 1;
    }
    let mut sorted: Vec<_> = counts.into_iter().collect();
    sorted.sort_by_key(|(colour, count)| (std::cmp::Reverse(*count), *colour));
    let mut chosen: Vec<[u8; 4]> = Vec::new();
    for (colour, _) in sorted {
        if chosen.len() < 16 && chosen.iter().all(|c| distance(c, &colour) > 400) {
            chosen.push(colour);
        }
    }
    chosen
}

/// Each pixel's nearest colour, two to a byte, every row from a byte of its own.
fn places(pixels: &[u8], palette: &[[u8; 4]], width: usize) -> Vec<u8> {
    let nearest = |pixel: &[u8]| {
        let colour = pixel.try_into().unwrap_or_default();
        let best = palette
            .iter()
            .enumerate()
            .min_by_key(|(_, c)| distance(c, &colour));
        best.map_or(0, |(place, _)| place as u8)
    };
    let rows = pixels.chunks_exact(width * 4);
    let pairs = rows.flat_map(|row| row.chunks(8));
    pairs
        .map(|pair| {
            let mut two = pair.chunks_exact(4).map(nearest);
            two.next().unwrap_or_default() << 4 | two.next().unwrap_or_default()
        })
        .collect()
}

fn colours(pixels: &[u8]) -> impl Iterator<Item = [u8; 4]> {
    pixels
        .chunks_exact(4)
        .map(|pixel| pixel.try_into().unwrap_or_default())
}

fn distance(a: &[u8; 4], b: &[u8; 4]) -> u32 {
    a.iter()
        .zip(b)
        .map(|(x, y)| u32::from(x.abs_diff(*y)).pow(2))
        .sum()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn indices(png: &[u8]) -> (Vec<u8>, Vec<u8>) {
        let mut reader = png::Decoder::new(std::io::Cursor::new(png))
            .read_info()
            .unwrap();
        let palette = reader.info().palette.clone().unwrap().to_vec();
        let mut out = vec![0; reader.output_buffer_size().unwrap()];
        reader.next_frame(&mut out).unwrap();
        (palette, out)
    }

    #[test]
    fn few_colours_come_back_exactly_at_odd_widths_too() {
        let (a, b) = ([10, 20, 30, 255], [90, 90, 90, 0]);
        let pixels = [a, a, b, b, a, a].concat();
        let (palette, packed) = indices(&write_png(3, 2, &pixels).unwrap());
        assert_eq!(palette, [10, 20, 30, 90, 90, 90]);
        assert_eq!(packed, [0x00, 0x10, 0x10, 0x00]);
    }

    #[test]
    fn many_colours_go_to_the_nearest_of_sixteen() {
        let pixels: Vec<u8> = (0..1024u32)
            .flat_map(|n| [n as u8, (n >> 2) as u8, 7, 255])
            .collect();
        let (palette, packed) = indices(&write_png(32, 32, &pixels).unwrap());
        assert_eq!((palette.len(), packed.len()), (48, 512));
    }
}
