//! The web app manifest: what a person writes is in `template/manifest.json`;
//! the pictures and their sizes come from the files, so they can't be wrong.

use crate::assets::Asset;
use crate::image::png_size;
use crate::step::problem;
use anyhow::Context;
use serde_json::{Map, Value, json};

/// The manifest as text.
///
/// # Errors
/// When the template is no JSON object, or an installable app lacks an icon.
pub fn write(template: &str, assets: &[Asset]) -> anyhow::Result<String> {
    let mut manifest: Value =
        serde_json::from_str(template).context("pkg-config/template/manifest.json")?;
    let Some(fields) = manifest.as_object_mut() else {
        anyhow::bail!("pkg-config/template/manifest.json is no JSON object");
    };
    let icons = icons(assets);
    for (size, purpose) in [
        ("192x192", "any"),
        ("512x512", "any"),
        ("512x512", "maskable"),
    ] {
        if !icons
            .iter()
            .any(|i| i["sizes"] == size && i["purpose"] == purpose)
        {
            return Err(problem(
                format!("there is no {purpose} icon of {size}; phones don't install without"),
                "run `cargo icons`, which draws them anew.",
            ));
        }
    }
    fields.insert("icons".to_owned(), Value::Array(icons));
    let screenshots = screenshots(assets);
    if !screenshots.is_empty() {
        fields.insert("screenshots".to_owned(), Value::Array(screenshots));
    }
    let shortcut_icon = named(assets, "/icons/shortcut-").map(|(asset, size)| picture(asset, size));
    if let (Some(icon), Some(Value::Array(shortcuts))) =
        (shortcut_icon, fields.get_mut("shortcuts"))
    {
        for shortcut in shortcuts.iter_mut().filter_map(Value::as_object_mut) {
            shortcut.insert("icons".to_owned(), json!([icon.clone()]));
        }
    }
    Ok(serde_json::to_string(&manifest)?)
}

/// `icon-*.png` for any shape, `maskable-*.png` for shapes the phone cuts out.
fn icons(assets: &[Asset]) -> Vec<Value> {
    let mut icons = Vec::new();
    for (start, purpose) in [("/icons/icon-", "any"), ("/icons/maskable-", "maskable")] {
        for (asset, size) in assets
            .iter()
            .filter(|a| a.source.starts_with(start))
            .filter_map(sized)
        {
            let mut icon = picture(asset, size);
            icon.insert("purpose".to_owned(), json!(purpose));
            icons.push(Value::Object(icon));
        }
    }
    icons
}

/// `public/screenshots/NAME.png`, with the words of `NAME.txt` as its label.
fn screenshots(assets: &[Asset]) -> Vec<Value> {
    let shots = assets
        .iter()
        .filter(|a| a.source.starts_with("/screenshots/"))
        .filter_map(sized);
    shots
        .map(|(asset, size)| {
            let mut shot = picture(asset, size);
            let form = if size.0 > size.1 { "wide" } else { "narrow" };
            shot.insert("form_factor".to_owned(), json!(form));
            let words = format!("{}.txt", asset.source.trim_end_matches(".png"));
            if let Some(label) = assets.iter().find(|a| a.source == words) {
                shot.insert(
                    "label".to_owned(),
                    json!(String::from_utf8_lossy(&label.bytes).trim()),
                );
            }
            Value::Object(shot)
        })
        .collect()
}

fn named<'a>(assets: &'a [Asset], start: &str) -> Option<(&'a Asset, (u32, u32))> {
    assets
        .iter()
        .filter(|a| a.source.starts_with(start))
        .find_map(sized)
}

fn sized(asset: &Asset) -> Option<(&Asset, (u32, u32))> {
    Some((asset, png_size(&asset.bytes)?))
}

fn picture(asset: &Asset, (width, height): (u32, u32)) -> Map<String, Value> {
    let sizes = format!("{width}x{height}");
    let fields = [
        ("src", asset.address.clone()),
        ("sizes", sizes),
        ("type", "image/png".to_owned()),
    ];
    fields
        .into_iter()
        .map(|(name, value)| (name.to_owned(), Value::String(value)))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::icons::write_png;
    use crate::places::Places;

    fn png(name: &str, width: u32, height: u32) -> Asset {
        let pixels = vec![9; (width * height * 4) as usize];
        Asset::hashed(name, write_png(width, height, &pixels).unwrap())
    }

    fn full() -> Vec<Asset> {
        vec![
            png("/icons/icon-small.png", 192, 192),
            png("/icons/icon-large.png", 512, 512),
            png("/icons/maskable-large.png", 512, 512),
            png("/icons/shortcut-leaf.png", 96, 96),
            png("/screenshots/read.png", 390, 844),
            Asset::plain("/screenshots/read.txt", b"A log, read\n".to_vec()),
        ]
    }

    #[test]
    fn sizes_come_from_the_pictures_whatever_they_are_called() {
        let text = write(r#"{"shortcuts":[{"name":"a"},{"name":"b"}]}"#, &full()).unwrap();
        let manifest: Value = serde_json::from_str(&text).unwrap();
        assert_eq!(manifest["icons"][0]["sizes"], "192x192");
        assert_eq!(manifest["icons"][2]["purpose"], "maskable");
        assert_eq!(manifest["shortcuts"][1]["icons"][0]["sizes"], "96x96");
        assert_eq!(manifest["screenshots"][0]["form_factor"], "narrow");
        assert_eq!(manifest["screenshots"][0]["label"], "A log, read");
    }

    #[test]
    fn a_missing_icon_stops_the_build() {
        let mut assets = full();
        assets[2] = png("/icons/maskable-large.png", 500, 500);
        let error = write("{}", &assets).unwrap_err();
        assert!(
            error.to_string().contains("no maskable icon of 512x512"),
            "{error}"
        );
    }

    #[test]
    fn the_template_has_what_an_install_needs() {
        let text = std::fs::read_to_string(Places::here().own("template/manifest.json")).unwrap();
        let manifest: Value = serde_json::from_str(&text).unwrap();
        for field in [
            "id",
            "name",
            "short_name",
            "description",
            "lang",
            "dir",
            "start_url",
            "scope",
            "display",
        ] {
            assert!(manifest[field].is_string(), "{field}");
        }
        assert_eq!(manifest["share_target"]["action"], "/share");
        assert_eq!(manifest["share_target"]["method"], "POST");
        assert!(
            manifest.get("orientation").is_none(),
            "nobody's phone is turned for them"
        );
    }
}
