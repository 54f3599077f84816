//! Running other programs: found or not, within a time limit, and without the
//! variables that a surrounding cargo leaves behind.

use crate::step::problem;
use anyhow::Context;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, ExitStatus, Stdio};
use std::time::{Duration, Instant};

/// Variables that would send a nested build to the wrong compiler or folder.
const SURROUNDING: [&str; 12] = [
    "CARGO",
    "CARGO_BUILD_TARGET",
    "CARGO_ENCODED_RUSTFLAGS",
    "CARGO_TARGET_DIR",
    "LD_LIBRARY_PATH",
    "RUSTC",
    "RUSTC_WORKSPACE_WRAPPER",
    "RUSTC_WRAPPER",
    "RUSTDOC",
    "RUSTFLAGS",
    "RUSTUP_TOOLCHAIN",
    "RUST_RECURSION_COUNT",
];

/// Removes what a surrounding cargo or rustup set.
pub fn clean(command: &mut Command) -> &mut Command {
    for name in SURROUNDING {
        command.env_remove(name);
    }
    let package = std::env::vars_os().map(|(name, _)| name);
    for name in package.filter(|n| n.to_string_lossy().starts_with("CARGO_PKG_")) {
        command.env_remove(name);
    }
    command
}

/// Runs a program to its end. Its output goes to the terminal.
///
/// # Errors
/// When it can't be started or ends badly.
pub fn run(command: &mut Command) -> anyhow::Result<()> {
    let status = command
        .status()
        .with_context(|| format!("can't start {}", shown(command)))?;
    judge(command, status)
}

/// Like [`run`], but ends the program when it takes too long.
///
/// # Errors
/// Also when the time is over.
pub fn run_within(command: &mut Command, limit: Duration) -> anyhow::Result<()> {
    let mut child = command
        .spawn()
        .with_context(|| format!("can't start {}", shown(command)))?;
    match wait(&mut child, limit)? {
        Some(status) => judge(command, status),
        None => {
            child
                .kill()
                .context("can't end a program that took too long")?;
            child
                .wait()
                .context("can't end a program that took too long")?;
            anyhow::bail!("{} took more than {} s", shown(command), limit.as_secs())
        }
    }
}

/// The standard output of a program, trimmed; nothing when it fails.
pub fn output(program: impl AsRef<Path>, arguments: &[&str]) -> Option<String> {
    let mut command = Command::new(program.as_ref());
    command
        .args(arguments)
        .stdin(Stdio::null())
        .stderr(Stdio::null());
    let out = command.output().ok().filter(|o| o.status.success())?;
    Some(String::from_utf8_lossy(&out.stdout).trim().to_owned())
}

/// Where a program is on the search path.
pub fn which(program: &str) -> Option<PathBuf> {
    let path = std::env::var_os("PATH")?;
    std::env::split_paths(&path)
        .map(|dir| dir.join(program))
        .find(|file| file.is_file())
}

fn wait(child: &mut Child, limit: Duration) -> anyhow::Result<Option<ExitStatus>> {
    let start = Instant::now();
    while start.elapsed() < limit {
        if let Some(status) = child.try_wait()? {
            return Ok(Some(status));
        }
        std::thread::sleep(Duration::from_millis(100));
    }
    Ok(None)
}

fn judge(command: &Command, status: ExitStatus) -> anyhow::Result<()> {
    if status.success() {
        return Ok(());
    }
    Err(problem(
        format!("{} ended with {status}", shown(command)),
        "read what it printed just above this message.",
    ))
}

fn shown(command: &Command) -> String {
    let words = std::iter::once(command.get_program()).chain(command.get_args());
    let words: Vec<_> = words.map(|w| w.to_string_lossy().into_owned()).collect();
    words.join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn programs_are_judged_by_how_they_end() {
        assert!(run(&mut Command::new("true")).is_ok());
        let error = run(&mut Command::new("false")).unwrap_err();
        assert!(error.to_string().starts_with("false ended with"), "{error}");
        assert!(run(&mut Command::new("no-such-program-here")).is_err());
    }

    #[test]
    fn a_program_that_hangs_is_ended() {
        let mut sleep = Command::new("sleep");
        let start = Instant::now();
        assert!(run_within(sleep.arg("30"), Duration::from_millis(300)).is_err());
        assert!(start.elapsed() < Duration::from_secs(10));
    }

    #[test]
    fn the_environment_of_cargo_is_removed() {
        let mut command = Command::new("env");
        command.env("RUSTFLAGS", "-g");
        clean(&mut command);
        assert!(
            command
                .get_envs()
                .any(|(k, v)| k == "RUSTFLAGS" && v.is_none())
        );
    }
}
