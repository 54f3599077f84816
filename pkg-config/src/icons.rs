//! Draws the icons anew from the drawings in `pkg-config/art`.
//!
//! A browser turns the drawings into pixels; here they are written as PNG
//! files with a palette, a quarter of the size, because icons count in the
//! budget. This is done by hand when a drawing changes, and the results are
//! kept in the repository, so that a build needs no browser.

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
        return Err(problem("drawing the icons needs a browser", "install the package chromium."));
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
    std::fs::copy(places.own("art").join("favicon.svg"), places.public("icons/favicon.svg"))?;
    Ok(())
}

fn photograph(browser: &Path, page: &Path, shot: &Path) -> anyhow::Result<Vec<u8>> {
    let mut command = Command::new(browser);
    command.args(["--headless", "--no-sandbox", "--disable-gpu", "--hide-scrollbars", "--no-first-run"]);
    command.args(["--disable-background-networking", "--disable-component-update", "--disable-sync"]);
    command.args(["--force-device-scale-factor=1", "--default-background-color=00000000"]);
    // Larger than needed, then cut: part of a small window is the browser's own.
    command.arg("--window-size=800,800");
    command.arg(format!("--user-data-dir={}", page.with_file_name("profile").display()));
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
        png::ColorType::Rgb => pixels.chunks_exact(3).flat_map(|p| p.iter().copied().chain([255])).collect(),
        other => anyhow::bail!("a picture of an unexpected kind: {other:?}"),
    };
    let (row, side) = (frame.width as usize * 4, width as usize);
    let square: Vec<u8> = four.chunks_exact(row).take(side).flat_map(|r| r.iter().copied().take(side * 4)).collect();
    write_png(width, width, &square)
}

/// Writes pixels (red, green, blue, opacity) with a palette of at most 256
/// colours. Where there are more, neighbours are drawn together, one bit of
/// accuracy at a time.
///
/// # Errors
/// When the number of pixels doesn't fit the size.
pub fn write_png(width: u32, height: u32, pixels: &[u8]) -> anyhow::Result<Vec<u8>> {
    let (palette, indices) = (0..6).map(|bits| reduce(pixels, bits)).find(|(p, _)| p.len() <= 256).context("too many colours")?;
    let mut out = Vec::new();
    let mut encoder = png::Encoder::new(&mut out, width, height);
    encoder.set_color(png::ColorType::Indexed);
    encoder.set_depth(png::BitDepth::Eight);
    encoder.set_palette(palette.iter().flat_map(|c| [c[0], c[1], c[2]]).collect::<Vec<u8>>());
    if palette.iter().any(|c| c[3] < 255) {
        encoder.set_trns(palette.iter().map(|c| c[3]).collect::<Vec<u8>>());
    }
    encoder.set_compression(png::Compression::High);
    encoder.set_filter(png::Filter::NoFilter);
    let mut writer = encoder.write_header()?;
    writer.write_image_data(&indices)?;
    writer.finish()?;
    Ok(out)
}

/// The palette, and each pixel's place in it, when `bits` are given up. The
/// first colour of each group stands for all of it.
fn reduce(pixels: &[u8], bits: u32) -> (Vec<[u8; 4]>, Vec<u8>) {
    let mut places: BTreeMap<[u8; 4], usize> = BTreeMap::new();
    let mut palette = Vec::new();
    let mut indices = Vec::with_capacity(pixels.len() / 4);
    for pixel in pixels.chunks_exact(4) {
        let colour: [u8; 4] = pixel.try_into().unwrap_or_default();
        let place = *places.entry(colour.map(|c| c >> bits)).or_insert_with(|| {
            palette.push(colour);
            palette.len() - 1
        });
        indices.push(place as u8);
    }
    (palette, indices)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn few_colours_come_back_exactly() {
        let pixels = [10, 20, 30, 255, 1, 2, 3, 0, 10, 20, 30, 255, 9, 9, 9, 128];
        let png = write_png(2, 2, &pixels).unwrap();
        let mut reader = png::Decoder::new(std::io::Cursor::new(png)).read_info().unwrap();
        let palette = reader.info().palette.clone().unwrap().to_vec();
        let mut indices = vec![0; reader.output_buffer_size().unwrap()];
        reader.next_frame(&mut indices).unwrap();
        assert_eq!((palette.len(), indices[0], indices[2]), (9, 0, 0));
        assert_eq!(&palette[..3], &[10, 20, 30]);
    }

    #[test]
    fn many_colours_are_drawn_together() {
        let pixels: Vec<u8> = (0..1024u32).flat_map(|n| [n as u8, (n >> 2) as u8, 7, 255]).collect();
        assert!(write_png(32, 32, &pixels).is_ok());
        assert!(reduce(&pixels, 0).0.len() > 256);
    }
}
