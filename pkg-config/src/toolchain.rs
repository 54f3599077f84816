//! Finding a compiler that can build for the browser.
//!
//! Usually the person's own toolchain can, or learns it with one download. If
//! it can have the sources of the standard library too, that is built along
//! with the app and comes out smaller.
//! Some machines reach package registries but not the server that holds the
//! standard library for wasm32. There Debian's own toolchain builds that
//! library from source, which needs a nightly-only flag and therefore
//! `RUSTC_BOOTSTRAP`.

use crate::command::{self, clean, output, run_within};
use crate::debian;
use crate::places::Places;
use crate::step::{problem, say};
use std::path::{Path, PathBuf};
use std::process::Command;
use std::time::Duration;

/// Makes leptos draw every view through one type instead of a type for each
/// shape, which is far less code.
const FLAGS: &str = "--cfg erase_components";

/// Leaves out what only a developer would read after a panic: the place in the
/// source, and how values print themselves for debugging. A panic still ends in
/// the plain page of `panic.js`. Together some 3 % of the program. The first two
/// need `RUSTC_BOOTSTRAP`, the last a standard library that is built along.
const NO_DETAILS: &str = " -Zlocation-detail=none -Zfmt-debug=none";
const NO_MESSAGE: &str = " -Zunstable-options -Cpanic=immediate-abort";

/// What is built for.
pub const TARGET: &str = "wasm32-unknown-unknown";

const PACKAGES: [&str; 4] = ["rustc-web", "cargo-web", "rust-web-src", "rust-web-llvm"];
/// Set to `debian` to pass by the active toolchain: so the second way can be
/// tested on a machine where the first one works.
const CHOICE: &str = "FAULTLEAF_TOOLCHAIN";
const RUSTUP_LIMIT: Duration = Duration::from_secs(120);

/// A way to build for the browser.
#[derive(Debug, PartialEq, Eq)]
pub enum Way {
    /// The active toolchain has the standard library for wasm32, ready made.
    Active,
    /// The active toolchain has its sources, and builds it as small as the app.
    Source,
    /// Debian's toolchain builds it; with this linker if not its own.
    Debian(Option<PathBuf>),
}

/// Finds a way, and installs what is missing for it.
///
/// # Errors
/// When neither way works. The message names both.
pub fn find(places: &Places) -> anyhow::Result<Way> {
    if std::env::var(CHOICE).is_ok_and(|choice| choice == "debian") {
        return debian();
    }
    let why_not_active = match if active_has_std() {
        Ok(())
    } else {
        add_target(places)
    } {
        Ok(()) => return Ok(active(places)),
        Err(e) => format!("{e:#}"),
    };
    say(&format!(
        "    the active toolchain can't ({why_not_active})"
    ));
    debian().map_err(|e| {
        let packages = PACKAGES.join(" ");
        problem(
            format!("nothing here can build for the browser: {why_not_active}; Debian's toolchain: {e:#}"),
            format!(
                "either `rustup target add {TARGET}`, or on Debian \
                 `apt-get install --no-install-recommends {packages}` and the lld that /usr/bin/rust-lld points to."
            ),
        )
    })
}

/// The active toolchain, with the standard library built small if its sources
/// are here or can be had. Ready made it is built for speed: on this app that
/// was about 330 KB to send instead of 290.
fn active(places: &Places) -> Way {
    let failed_before = places.wasm().join("no-sources-from-rustup");
    if !active_has_source() && command::which("rustup").is_some() && !failed_before.exists() {
        say(
            "    rustup component add rust-src: to build the standard library small, at most 2 minutes",
        );
        let mut rustup = Command::new("rustup");
        let added = run_within(rustup.args(["component", "add", "rust-src"]), RUSTUP_LIMIT);
        if added.is_err() {
            drop(std::fs::create_dir_all(places.wasm()));
            drop(std::fs::write(
                &failed_before,
                "Delete this file to let the packager ask rustup again.\n",
            ));
        }
    }
    if active_has_source() {
        say("    the active toolchain builds for the browser, standard library included");
        return Way::Source;
    }
    say(
        "    the active toolchain builds for the browser, with its ready-made (larger) standard library",
    );
    Way::Active
}

fn active_has_source() -> bool {
    output("rustc", &["--print", "sysroot"]).is_some_and(|root| has_source(Path::new(&root)))
}

fn has_source(sysroot: &Path) -> bool {
    sysroot
        .join("lib/rustlib/src/rust/library/Cargo.toml")
        .is_file()
}

fn active_has_std() -> bool {
    output("rustc", &["--print", "target-libdir", "--target", TARGET])
        .is_some_and(|dir| has_core(Path::new(&dir)))
}

fn has_core(libdir: &Path) -> bool {
    let names = std::fs::read_dir(libdir)
        .into_iter()
        .flatten()
        .flatten()
        .map(|e| e.file_name());
    names
        .into_iter()
        .any(|name| name.to_string_lossy().starts_with("libcore-"))
}

/// Asks rustup. A failure is remembered in the target folder: without the
/// network, asking again at every build would cost up to two minutes.
fn add_target(places: &Places) -> anyhow::Result<()> {
    let failed_before = places.wasm().join("no-answer-from-rustup");
    anyhow::ensure!(
        command::which("rustup").is_some(),
        "it has no {TARGET}, and there is no rustup to add it"
    );
    anyhow::ensure!(
        !failed_before.exists(),
        "rustup could not add {TARGET} before; delete {} to try again",
        failed_before.display()
    );
    say(&format!(
        "    rustup target add {TARGET}: the standard library for the browser, at most 2 minutes"
    ));
    let added = run_within(
        Command::new("rustup").args(["target", "add", TARGET]),
        RUSTUP_LIMIT,
    );
    if added.is_ok() && active_has_std() {
        return Ok(());
    }
    std::fs::create_dir_all(places.wasm())?;
    std::fs::write(
        &failed_before,
        "Delete this file to let the packager ask rustup again.\n",
    )?;
    anyhow::bail!("rustup could not add {TARGET}")
}

/// Debian's toolchain, installed if need be.
fn debian() -> anyhow::Result<Way> {
    if !debian_complete() {
        debian::install(&PACKAGES, "to build the standard library for the browser")?;
    }
    if let Some(name) = dangling(Path::new("/usr/bin/rust-lld")) {
        debian::install(&[&name], "to link the program for the browser")?;
    }
    anyhow::ensure!(
        debian_complete(),
        "its compiler, cargo or library sources are missing after the install"
    );
    let own_linker = Path::new("/usr/bin/rust-lld").exists();
    let linker = if own_linker {
        None
    } else {
        Some(rustup_linker()?)
    };
    say("    Debian's toolchain builds the standard library from source");
    Ok(Way::Debian(linker))
}

fn debian_complete() -> bool {
    let root = output("/usr/bin/rustc", &["--print", "sysroot"]);
    Path::new("/usr/bin/cargo").exists() && root.is_some_and(|r| has_source(Path::new(&r)))
}

/// The name a broken link points to; the package has the same name.
fn dangling(link: &Path) -> Option<String> {
    let to = std::fs::read_link(link).ok()?;
    if link.exists() {
        None
    } else {
        Some(to.file_name()?.to_string_lossy().into_owned())
    }
}

fn rustup_linker() -> anyhow::Result<PathBuf> {
    let host = output("rustc", &["--print", "host-tuple"])
        .unwrap_or_else(|| "x86_64-unknown-linux-gnu".to_owned());
    let root = output("rustc", &["--print", "sysroot"]).unwrap_or_default();
    let linker = Path::new(&root)
        .join("lib/rustlib")
        .join(host)
        .join("bin/rust-lld");
    anyhow::ensure!(linker.exists(), "there is no rust-lld to link with");
    Ok(linker)
}

impl Way {
    /// The command that builds a package for the browser into a folder.
    pub fn build(&self, package: &str, target: &Path) -> Command {
        let mut command = match self {
            Self::Active | Self::Source => Command::new("cargo"),
            Self::Debian(_) => Command::new("/usr/bin/cargo"),
        };
        clean(&mut command);
        if let Self::Debian(linker) = self {
            let before = std::env::var_os("PATH").unwrap_or_default();
            let path =
                std::iter::once(PathBuf::from("/usr/bin")).chain(std::env::split_paths(&before));
            if let Ok(path) = std::env::join_paths(path) {
                command.env("PATH", path);
            }
            if let Some(linker) = linker {
                command.env("CARGO_TARGET_WASM32_UNKNOWN_UNKNOWN_LINKER", linker);
            }
        }
        let mut flags = FLAGS.to_owned() + NO_DETAILS;
        // Debian's compiler is of the same age as the active one or newer.
        if !matches!(self, Self::Active) {
            flags += NO_MESSAGE;
        }
        command.env("RUSTFLAGS", flags);
        command.env("RUSTC_BOOTSTRAP", "1");
        command.args([
            "build",
            "--release",
            "--package",
            package,
            "--target",
            TARGET,
            "--target-dir",
        ]);
        command.arg(target);
        if !matches!(self, Self::Active) {
            // Small sorting and printing instead of fast ones, as for the app itself.
            command.args([
                "-Zbuild-std=std,panic_abort",
                "-Zbuild-std-features=optimize_for_size",
            ]);
        }
        command
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn words(command: &Command) -> Vec<String> {
        command
            .get_args()
            .map(|a| a.to_string_lossy().into_owned())
            .collect()
    }

    #[test]
    fn only_a_ready_made_library_is_not_built() {
        let active = Way::Active.build("shell", Path::new("t"));
        let source = Way::Source.build("shell", Path::new("t"));
        assert!(
            words(&source)
                .iter()
                .any(|w| w == "-Zbuild-std=std,panic_abort")
        );
        assert_eq!(source.get_program(), active.get_program());
        let debian = Way::Debian(Some(PathBuf::from("/lld"))).build("shell", Path::new("t"));
        assert!(!words(&active).iter().any(|w| w.starts_with("-Z")));
        assert!(
            words(&debian)
                .iter()
                .any(|w| w == "-Zbuild-std=std,panic_abort")
        );
        assert!(
            debian
                .get_envs()
                .any(|(k, v)| k == "RUSTC_BOOTSTRAP" && v.is_some())
        );
        assert!(
            debian
                .get_envs()
                .any(|(k, v)| k == "CARGO_TARGET_WASM32_UNKNOWN_UNKNOWN_LINKER" && v.is_some())
        );
        assert!(debian.get_envs().any(|(k, v)| k == "RUSTC" && v.is_none()));
    }

    #[test]
    fn a_broken_link_names_the_package() {
        let dir = tempfile::tempdir().unwrap();
        let link = dir.path().join("rust-lld");
        std::os::unix::fs::symlink("lld-99", &link).unwrap();
        assert_eq!(dangling(&link).as_deref(), Some("lld-99"));
        std::fs::write(dir.path().join("lld-99"), "").unwrap();
        assert_eq!(dangling(&link), None);
    }

    #[test]
    fn a_library_folder_needs_the_core_library() {
        let dir = tempfile::tempdir().unwrap();
        assert!(!has_core(dir.path()));
        std::fs::write(dir.path().join("libcore-0123.rlib"), "").unwrap();
        assert!(has_core(dir.path()));
    }
}
