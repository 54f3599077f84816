//! Ending a tab or the whole browser without warning, as phones do.
//!
//! Only processes that this very test has started are ended: they are found as
//! the descendants of its own chromedriver.

use crate::Page;
use crate::wait::until;
use serde_json::json;
use std::process::Command;

struct Process {
    id: u32,
    parent: u32,
    line: String,
}

impl Page {
    /// Does something in a tab of its own, and kills the program behind that tab
    /// while it runs in circles. Then the first tab is in front again.
    ///
    /// # Errors
    /// When no tab runs in circles, or the browser does not recover.
    pub async fn in_killed_tab<T>(
        &mut self,
        work: impl AsyncFnOnce(&mut Self) -> anyhow::Result<T>,
    ) -> anyhow::Result<T> {
        let first = self.driver.window().await?;
        let tab = self.driver.new_tab().await?;
        self.driver.switch_to_window(tab.clone()).await?;
        let done = work(self).await?;
        let busy = self.busiest_tab().await?;
        kill(&[busy])?;
        self.driver.switch_to_window(first).await?;
        self.cdp("Target.closeTarget", json!({ "targetId": tab.to_string() }))
            .await?;
        Ok(done)
    }

    /// The process that used most of the processor since this was called, as
    /// soon as that is clear.
    async fn busiest_tab(&self) -> anyhow::Result<u32> {
        let tabs = self.processes(|line| line.contains("--type=renderer"))?;
        let before: Vec<u64> = tabs.iter().map(|id| used(*id)).collect();
        until("a tab that runs in circles", async || {
            let more = tabs.iter().zip(&before);
            let more = more.map(|(id, b)| (used(*id).saturating_sub(*b), *id));
            // A hundred ticks are a second. Everything else is idle.
            let busy = more.max().filter(|(ticks, _)| *ticks > 15);
            Ok(busy.map(|(_, id)| id))
        })
        .await
    }

    /// Kills the whole browser and starts it again with what it kept on the disk.
    ///
    /// # Errors
    /// When it doesn't start again.
    pub async fn kill_browser(&mut self) -> anyhow::Result<()> {
        let all = self.processes(|line| line.contains("--user-data-dir="))?;
        anyhow::ensure!(!all.is_empty(), "there is no browser to kill");
        kill(&all)?;
        let home = &self.home;
        let fresh = home.driver.browser(home.screen, &home.profile).await?;
        let dead = std::mem::replace(&mut self.driver, fresh);
        // There is nobody left to answer.
        drop(dead.leak());
        Ok(())
    }

    /// The processes below this page's chromedriver whose command line fits.
    fn processes(&self, fits: impl Fn(&str) -> bool) -> anyhow::Result<Vec<u32>> {
        let all = processes()?;
        let mut own = vec![self.home.driver.process()];
        loop {
            let below: Vec<u32> = all
                .iter()
                .filter(|p| own.contains(&p.parent) && !own.contains(&p.id))
                .map(|p| p.id)
                .collect();
            if below.is_empty() {
                break;
            }
            own.extend(below);
        }
        let fitting = all.iter().filter(|p| own.contains(&p.id) && fits(&p.line));
        Ok(fitting.map(|p| p.id).collect())
    }
}

fn processes() -> anyhow::Result<Vec<Process>> {
    let mut found = Vec::new();
    for entry in std::fs::read_dir("/proc")?.flatten() {
        let id = entry.file_name().to_string_lossy().parse();
        let read = |name| std::fs::read_to_string(entry.path().join(name));
        // Some end while they are being listed.
        if let (Ok(id), Ok(stat), Ok(line)) = (id, read("stat"), read("cmdline")) {
            let parent = u32::try_from(number(&stat, 1)).unwrap_or_default();
            found.push(Process { id, parent, line });
        }
    }
    Ok(found)
}

/// A number of `/proc/ID/stat`, counted from what follows the name in brackets:
/// the state is 0, the parent 1, the processor ticks used 11.
fn number(stat: &str, at: usize) -> u64 {
    let rest = stat.rsplit(')').next().unwrap_or_default();
    let found = rest.split_whitespace().nth(at);
    found.and_then(|n| n.parse().ok()).unwrap_or_default()
}

fn used(id: u32) -> u64 {
    std::fs::read_to_string(format!("/proc/{id}/stat")).map_or(0, |stat| number(&stat, 11))
}

fn kill(all: &[u32]) -> anyhow::Result<()> {
    let ids = all.iter().map(ToString::to_string);
    let done = Command::new("kill").arg("-KILL").args(ids).output()?;
    // Some ends with its parent before its turn comes; then `kill` complains.
    anyhow::ensure!(
        done.status.success() || all.len() > 1,
        "can't kill: {}",
        String::from_utf8_lossy(&done.stderr)
    );
    Ok(())
}
