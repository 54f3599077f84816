//! Every check of the project, one after the other, from an empty machine on:
//! style, native tests, the build for the browser with its budgets, and the
//! app in a real browser.

use crate::command::{self, clean};
use crate::debian;
use crate::places::Places;
use crate::site;
use crate::step::{problem, say, seconds, step};
use crate::suite;
use std::path::{Path, PathBuf};
use std::process::Command;
use std::time::Instant;

/// The accessibility checker for the browser tests, pinned.
const AXE: &str = "axe-core@4.14.1";

/// What only builds for the browser, and what needs a built site.
const NOT_NATIVE: [&str; 4] = ["--exclude", "shell", "--exclude", "browser-tests"];

/// Runs every check, and stops at the first that fails.
///
/// # Errors
/// What failed, with the mend.
pub fn run(places: &Places) -> anyhow::Result<()> {
    let start = Instant::now();
    style(places)?;
    step(
        "Native tests",
        "most of the app is plain Rust and needs no browser",
        || {
            command::run(cargo(places).args(["test", "--workspace"]).args(NOT_NATIVE))
                .map_err(|e| e.context("a native test failed; its name is above"))
        },
    )?;
    let built = site::build(places)?;
    let suite = suite::build(places)?;
    let tools = browser_tools(places)?;
    step(
        "Browser tests",
        "at phone and desktop size, one after the other",
        || {
            let mut tests = cargo(places);
            tests.args([
                "test",
                "--package",
                "browser-tests",
                "--",
                "--test-threads=1",
                "--show-output",
            ]);
            tests
                .env("FAULTLEAF_SITE", &built)
                .env("FAULTLEAF_SUITE", &suite)
                .env("FAULTLEAF_AXE", &tools.axe);
            tests.env("FAULTLEAF_SHOTS", places.target.join("shots"));
            command::run(&mut tests).map_err(|e| {
                e.context("a browser test failed; pictures of the page are in target/shots")
            })
        },
    )?;
    say(&format!(
        "\nEverything is right, after {}.",
        seconds(start.elapsed())
    ));
    Ok(())
}

/// Formatting and lints. A toolchain without the two tools still gets the tests.
fn style(places: &Places) -> anyhow::Result<()> {
    if command::output("cargo", &["fmt", "--version"]).is_none() {
        say(
            "\n==> Formatting: left out, this toolchain has no rustfmt (rustup component add rustfmt)",
        );
    } else {
        step(
            "Formatting",
            "one form, so that changes show only what changed",
            || {
                command::run(cargo(places).args(["fmt", "--all", "--check"])).map_err(|_| {
                    problem(
                        "some files are not formatted; the differences are above",
                        "run `cargo fmt --all`.",
                    )
                })
            },
        )?;
    }
    if command::output("cargo", &["clippy", "--version"]).is_none() {
        say("\n==> Lints: left out, this toolchain has no clippy (rustup component add clippy)");
        return Ok(());
    }
    step(
        "Lints",
        "mistakes the compiler doesn't call errors, such as a possible panic",
        || {
            let mut lints = cargo(places);
            lints.args([
                "clippy",
                "--workspace",
                "--exclude",
                "shell",
                "--lib",
                "--bins",
                "--examples",
            ]);
            command::run(lints.args(["--", "--deny", "warnings"]))
                .map_err(|e| e.context("the lints found something; it is above"))
        },
    )
}

/// What the browser tests need besides the site.
struct Tools {
    axe: PathBuf,
}

fn browser_tools(places: &Places) -> anyhow::Result<Tools> {
    step(
        "Look for the browser",
        "the tests drive Chromium through its own driver",
        || {
            let missing: Vec<&str> = [
                ("chromium", "chromium"),
                ("chromedriver", "chromium-driver"),
                ("npm", "npm"),
            ]
            .into_iter()
            .filter(|(program, _)| command::which(program).is_none())
            .map(|(_, package)| package)
            .collect();
            if missing.is_empty() {
                say("    chromium, chromedriver and npm are here");
            } else {
                debian::install(&missing, "to test the app in a browser")?;
            }
            Ok(())
        },
    )?;
    let axe = step(
        "Look for the accessibility checker",
        "axe-core finds what a screen reader would stumble on",
        || axe(&places.target.join("axe")),
    )?;
    Ok(Tools { axe })
}

fn axe(folder: &Path) -> anyhow::Result<PathBuf> {
    let script = folder.join("node_modules/axe-core/axe.min.js");
    let (_, version) = AXE.split_once('@').unwrap_or((AXE, ""));
    let about = std::fs::read_to_string(folder.join("node_modules/axe-core/package.json"))
        .unwrap_or_default();
    let here = about.contains(&format!("\"version\": \"{version}\"")) && script.is_file();
    if here {
        say(&format!("    {AXE} is here"));
        return Ok(script);
    }
    std::fs::create_dir_all(folder)?;
    say(&format!("    npm install {AXE}, into {}", folder.display()));
    let mut npm = Command::new("npm");
    npm.args([
        "install",
        "--no-save",
        "--no-audit",
        "--no-fund",
        "--ignore-scripts",
        "--prefix",
    ])
    .arg(folder)
    .arg(AXE);
    command::run(&mut npm).map_err(|e| {
        problem(
            format!("{AXE} can't be installed: {e:#}"),
            "connect to the network once, then try again.",
        )
    })?;
    anyhow::ensure!(
        script.is_file(),
        "npm installed {AXE}, but {} is missing",
        script.display()
    );
    Ok(script)
}

/// cargo for native builds. The folder is the one this tool was built into, so
/// that nothing is compiled twice.
fn cargo(places: &Places) -> Command {
    let mut command = Command::new("cargo");
    let toolchain = std::env::var_os("RUSTUP_TOOLCHAIN");
    clean(&mut command);
    if let Some(toolchain) = toolchain {
        command.env("RUSTUP_TOOLCHAIN", toolchain);
    }
    command
        .env("CARGO_TARGET_DIR", &places.target)
        .current_dir(&places.root);
    command
}
