//! The program for the browser: built by cargo, then given its JavaScript
//! side by wasm-bindgen as a library, so no extra command must be installed.

use crate::command::run;
use crate::places::Places;
use crate::step::{problem, step};
use crate::toolchain::{self, TARGET};
use crate::{assets::Asset, pins};
use anyhow::Context;
use std::path::Path;
use wasm_bindgen_cli_support::Bindgen;

/// The package that is the app.
const PACKAGE: &str = "shell";

/// Builds the app and gives its module, its JavaScript side, and whatever
/// small scripts its libraries bring along.
///
/// # Errors
/// When no compiler is found, the build fails, or versions don't match.
pub fn build(places: &Places) -> anyhow::Result<Vec<Asset>> {
    let way = step(
        "Look for a compiler for the browser",
        "the app runs as WebAssembly",
        || toolchain::find(places),
    )?;
    let why =
        "size first: optimised as a whole; the first build takes some minutes, later ones less";
    step("Build the app for the browser", why, || {
        run(way.build(PACKAGE, &places.wasm()).current_dir(&places.root)).map_err(|e| {
            e.context("the app does not build for the browser; the compiler's message is above")
        })
    })?;
    step(
        "Make the JavaScript side",
        "a browser starts a module through a script",
        || {
            let lock = places.root.join("Cargo.lock");
            pins::check(
                &std::fs::read_to_string(&lock)
                    .with_context(|| format!("can't read {}", lock.display()))?,
            )?;
            let module = places
                .wasm()
                .join(TARGET)
                .join("release")
                .join(PACKAGE)
                .with_extension("wasm");
            bind(&module, &places.wasm().join("bound"))
        },
    )
}

fn bind(module: &Path, folder: &Path) -> anyhow::Result<Vec<Asset>> {
    if folder.exists() {
        std::fs::remove_dir_all(folder)?;
    }
    let mut bindgen = Bindgen::new();
    bindgen
        .input_path(module)
        .out_name("app")
        .web(true)?
        .typescript(false)
        .omit_default_module_path(true)
        .remove_name_section(true)
        .remove_producers_section(true);
    bindgen.generate(folder).map_err(|e| {
        problem(
            format!("wasm-bindgen refused the module: {e:#}"),
            "delete the folder target/wasm and try again.",
        )
    })?;
    let mut found = vec![
        Asset::hashed("/app.js", std::fs::read(folder.join("app.js"))?),
        Asset::hashed("/app.wasm", std::fs::read(folder.join("app_bg.wasm"))?),
    ];
    let snippets = folder.join("snippets");
    if snippets.is_dir() {
        // The JavaScript side names them relative to itself.
        found.extend(Asset::folder(&snippets, "/assets/snippets")?);
    }
    Ok(found)
}
