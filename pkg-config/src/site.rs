//! The whole site, from the sources to a folder that any static host can
//! serve: program, page, styles, icons, manifest, service worker, data, and
//! the packed copies.

use crate::assets::{self, Asset};
use crate::budget::{self, Size};
use crate::compress::{self, Packed};
use crate::places::Places;
use crate::step::{problem, say, step};
use crate::{demo, headers, manifest, page, styles, wasm, worker};
use anyhow::Context;
use std::path::{Path, PathBuf};

/// Where the page itself is. A folder's address is the final one on every
/// host; `/index.html` is redirected by some, and a redirected answer can't
/// open a page offline.
const PAGE: &str = "/";

/// Builds the site and gives its folder.
///
/// # Errors
/// When a step fails, or the app is over its budget.
pub fn build(places: &Places) -> anyhow::Result<PathBuf> {
    let program = wasm::build(places)?;
    let files = step(
        "Gather the files",
        "names that change with the contents can be kept for ever",
        || gather(places, program),
    )?;
    let packed = step(
        "Pack the files",
        "less to send; brotli at its best takes a while",
        || compress::pack_all(&files),
    )?;
    let folder = places.site();
    step(
        "Write the site",
        "a folder ready for any static host",
        || {
            replace(&folder, &files, &packed)?;
            say(&format!("    {}", folder.display()));
            Ok(())
        },
    )?;
    step(
        "Hold the sizes against the budget",
        "a phone on a slow line should not wait",
        || within_budget(places, &files, &packed),
    )?;
    Ok(folder)
}

/// Everything the site consists of, given the program.
///
/// # Errors
/// When a file can't be read or names something that isn't there.
pub fn gather(places: &Places, program: Vec<Asset>) -> anyhow::Result<Vec<Asset>> {
    let mut files = program;
    let (mut style_files, mut rest) = (Vec::new(), Vec::new());
    for asset in Asset::folder(&places.public(""), "")? {
        match asset.address.split('/').nth(1) {
            Some("index.html") => {}
            Some("styles") => style_files.push(asset),
            Some("icons") => files.push(Asset::hashed(&asset.source, asset.bytes)),
            // Only a shop or an install sheet shows them.
            Some("screenshots") => rest.push(asset.left_out()),
            _ => rest.push(asset),
        }
    }
    files.push(Asset::hashed(
        "/styles.css",
        styles::join(&style_files).into_bytes(),
    ));
    for script in ["boot.js", "panic.js"] {
        files.push(Asset::hashed(
            &format!("/{script}"),
            template(places, script)?.into_bytes(),
        ));
    }
    files.append(&mut rest);
    files.extend(demo::gather(places)?);
    let with_pictures = manifest::write(&template(places, "manifest.json")?, &files)?;
    files.push(Asset::plain(
        "/manifest.webmanifest",
        with_pictures.into_bytes(),
    ));

    let index = read(&places.public("index.html"))?;
    let (head, sw) = (template(places, "head.html")?, template(places, "sw.js")?);
    let build = assets::build_id(&files, &[index.as_bytes(), head.as_bytes(), sw.as_bytes()]);
    let html = page::write(&index, &head, &build, &assets::renames(&files))?;
    files.push(Asset::plain(PAGE, html.into_bytes()));
    let script = worker::write(&sw, &build, &files)?;
    // The browser keeps the worker itself; it must not be in its own store.
    files.push(Asset::plain("/sw.js", script.into_bytes()).left_out());
    Ok(files)
}

/// Prints the table of sizes and fails when one is over.
///
/// # Errors
/// When a budget is passed.
pub fn within_budget(
    places: &Places,
    files: &[Asset],
    packed: &[Packed],
) -> anyhow::Result<Vec<Size>> {
    let budgets = budget::load(&read(&places.own("budgets.json"))?)?;
    let sizes = budget::sizes(files, packed);
    say(&budget::table(&sizes, &budgets));
    budget::check(&sizes, &budgets)?;
    Ok(sizes)
}

/// Writes the files into a new folder, then puts it in the place of the old
/// one, so that a server never serves half of each.
fn replace(folder: &Path, files: &[Asset], packed: &[Packed]) -> anyhow::Result<()> {
    let fresh = folder.with_extension("new");
    if fresh.exists() {
        std::fs::remove_dir_all(&fresh)?;
    }
    for (asset, packed) in files.iter().zip(packed) {
        let name = if asset.address == PAGE {
            "/index.html"
        } else {
            &asset.address
        };
        let path = fresh.join(name.trim_start_matches('/'));
        put(&path, &asset.bytes)?;
        if !packed.brotli.is_empty() {
            put(&with_ending(&path, "br"), &packed.brotli)?;
            put(&with_ending(&path, "gz"), &packed.gzip)?;
        }
        if asset.address == PAGE {
            // Hosts without a rule for addresses inside the app serve this one.
            put(&fresh.join("404.html"), &asset.bytes)?;
        }
    }
    put(
        &fresh.join("_headers"),
        headers::file_for_hosts().as_bytes(),
    )?;
    put(&fresh.join("_redirects"), b"/* /index.html 200\n")?;
    if folder.exists() {
        std::fs::remove_dir_all(folder)?;
    }
    std::fs::rename(&fresh, folder).with_context(|| format!("can't write {}", folder.display()))
}

fn with_ending(path: &Path, ending: &str) -> PathBuf {
    let mut name = path.as_os_str().to_owned();
    name.push(".");
    name.push(ending);
    PathBuf::from(name)
}

fn put(path: &Path, bytes: &[u8]) -> anyhow::Result<()> {
    if let Some(folder) = path.parent() {
        std::fs::create_dir_all(folder)?;
    }
    std::fs::write(path, bytes).with_context(|| format!("can't write {}", path.display()))
}

fn template(places: &Places, name: &str) -> anyhow::Result<String> {
    read(&places.own("template").join(name))
}

fn read(path: &Path) -> anyhow::Result<String> {
    std::fs::read_to_string(path).map_err(|e| {
        problem(
            format!("can't read {}: {e}", path.display()),
            "restore the file from the repository.",
        )
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn site(module: &[u8]) -> Vec<Asset> {
        let program = vec![
            Asset::hashed("/app.js", b"export default 1".to_vec()),
            Asset::hashed("/app.wasm", module.to_vec()),
        ];
        gather(&Places::here(), program).unwrap()
    }

    fn text(files: &[Asset], address: &str) -> String {
        let found = files.iter().find(|a| a.address == address).unwrap();
        String::from_utf8(found.bytes.clone()).unwrap()
    }

    #[test]
    fn the_worker_lists_every_file_the_page_needs() {
        let files = site(b"one");
        let worker = text(&files, "/sw.js");
        let (worker, _) = worker.split_once("];").unwrap();
        for asset in files
            .iter()
            .filter(|a| a.address != "/sw.js" && a.precached)
        {
            assert!(
                worker.contains(&format!("\"{}\"", asset.address)),
                "{}",
                asset.address
            );
        }
        assert!(!worker.contains("\"/sw.js\"") && !worker.contains("/index.html\""));
        let page = text(&files, "/");
        assert!(
            page.contains("/assets/app.")
                && page.contains("/assets/styles.")
                && page.contains("id=\"app-module\" href=\"/assets/")
        );
        assert!(!page.contains("{{") && !page.contains("<style") && !page.contains(" style="));
    }

    #[test]
    fn one_changed_byte_is_another_worker() {
        assert_ne!(text(&site(b"one"), "/sw.js"), text(&site(b"two"), "/sw.js"));
        assert_eq!(text(&site(b"one"), "/sw.js"), text(&site(b"one"), "/sw.js"));
    }

    #[test]
    fn a_new_site_takes_the_place_of_the_old_one() {
        let dir = tempfile::tempdir().unwrap();
        let folder = dir.path().join("site");
        let old = [Asset::plain("/old.txt", b"old".to_vec())];
        replace(&folder, &old, &[Packed::default()]).unwrap();
        let page = [Asset::plain("/", b"<html>".to_vec())];
        let packed = Packed {
            brotli: b"b".to_vec(),
            gzip: b"g".to_vec(),
        };
        replace(&folder, &page, &[packed]).unwrap();
        assert!(!folder.join("old.txt").exists());
        for name in [
            "index.html",
            "index.html.br",
            "index.html.gz",
            "404.html",
            "_headers",
            "_redirects",
        ] {
            assert!(folder.join(name).exists(), "{name}");
        }
    }
}
