//! Installing what is missing, on Debian and as root. Elsewhere the packages
//! are named, so that the person can install them.

use crate::command::{self, run};
use crate::step::{problem, say};
use std::process::Command;

/// Makes sure that packages are there. `why` completes "needed ...".
///
/// # Errors
/// When they can't be installed from here; the message names them.
pub fn install(packages: &[&str], why: &str) -> anyhow::Result<()> {
    let named = packages.join(" ");
    let by_hand =
        format!("install these packages, then run this command again: {named} (needed {why})");
    if command::which("apt-get").is_none() {
        return Err(problem(
            "this is no Debian, so nothing was installed",
            by_hand,
        ));
    }
    if !is_root() {
        let with_sudo =
            format!("sudo apt-get install --no-install-recommends {named} (needed {why})");
        return Err(problem("only root can install packages", with_sudo));
    }
    say(&format!("    installing {named}, needed {why}"));
    apt(&["update", "-qq"]).map_err(|e| e.context("the list of packages can't be fetched"))?;
    let mut arguments = vec!["install", "-y", "-qq", "--no-install-recommends"];
    arguments.extend(packages);
    apt(&arguments).map_err(|e| problem(format!("apt-get can't install them: {e:#}"), by_hand))
}

fn apt(arguments: &[&str]) -> anyhow::Result<()> {
    run(Command::new("apt-get")
        .args(arguments)
        .env("DEBIAN_FRONTEND", "noninteractive"))
}

fn is_root() -> bool {
    command::output("id", &["-u"]).as_deref() == Some("0")
}
