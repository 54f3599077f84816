//! The program for the browser: built by cargo, then given its JavaScript
//! side by wasm-bindgen as a library, so no extra command must be installed.

use crate::command::run;
use crate::places::Places;
use crate::step::{problem, step};
use crate::toolchain::{self, TARGET};
use crate::{assets::Asset, pins};
use anyhow::Context;
use std::path::{Path, PathBuf};
use wasm_bindgen_cli_support::Bindgen;

/// The package that is the app.
const PACKAGE: &str = "shell";

/// Builds the app and gives its module, its JavaScript side, and whatever
/// small scripts its libraries bring along.
///
/// # Errors
/// When no compiler is found, the build fails, or versions don't match.
pub fn build(places: &Places) -> anyhow::Result<Vec<Asset>> {
    let folder = program(places, PACKAGE, "app")?;
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

/// Builds a package for the browser and gives the folder with `NAME.js` and
/// `NAME_bg.wasm`. All packages are built with the same settings into the same
/// folder, so that what they share is compiled once.
///
/// # Errors
/// As for [`build`].
pub fn program(places: &Places, package: &str, name: &str) -> anyhow::Result<PathBuf> {
    let way = step(
        "Look for a compiler for the browser",
        "the app runs as WebAssembly",
        || toolchain::find(places),
    )?;
    let why =
        "size first: optimised as a whole; the first build takes some minutes, later ones less";
    step(&format!("Build the {name} for the browser"), why, || {
        run(way.build(package, &places.wasm()).current_dir(&places.root)).map_err(|e| {
            e.context(format!(
                "the {name} does not build for the browser; the compiler's message is above"
            ))
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
                .join(package)
                .with_extension("wasm");
            let folder = places.wasm().join("bound").join(name);
            bind(&module, name, &folder)?;
            Ok(folder)
        },
    )
}

fn bind(module: &Path, name: &str, folder: &Path) -> anyhow::Result<()> {
    if folder.exists() {
        std::fs::remove_dir_all(folder)?;
    }
    let mut bindgen = Bindgen::new();
    bindgen
        .input_path(module)
        .out_name(name)
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
    })
}
