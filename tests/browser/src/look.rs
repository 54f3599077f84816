//! Looking at what happened: pictures, the browser's log, and every request.

use crate::Page;
use packager::places::Places;
use serde_json::{Value, json};
use std::path::PathBuf;

impl Page {
    /// Takes a picture of what is on the screen, into the shots folder.
    ///
    /// # Errors
    /// When it can't be written.
    pub async fn shot(&self, name: &str) -> anyhow::Result<PathBuf> {
        let folder = std::env::var_os("FAULTLEAF_SHOTS")
            .map_or_else(|| Places::here().target.join("shots"), PathBuf::from);
        std::fs::create_dir_all(&folder)?;
        let file = folder.join(format!("{name}.png"));
        self.driver.screenshot(&file).await?;
        Ok(file)
    }

    /// The browser's log since it was last asked for: messages, errors, and
    /// whatever the content policy stopped.
    ///
    /// # Errors
    /// When the browser is gone.
    pub async fn log(&self) -> anyhow::Result<Vec<String>> {
        let entries = self.driver.browser_log().await?;
        Ok(entries
            .into_iter()
            .map(|e| format!("{} {}", e.level, e.message))
            .collect())
    }

    /// The address of every request of the page since this was last asked for.
    ///
    /// # Errors
    /// When the browser is gone.
    pub async fn requests(&self) -> anyhow::Result<Vec<String>> {
        let entries = self.driver.get_log("performance").await?;
        let asked = entries.iter().filter_map(|entry| {
            let event: Value = serde_json::from_str(&entry.message).ok()?;
            let message = event.get("message")?;
            let sent = message.get("method")? == "Network.requestWillBeSent";
            sent.then(|| {
                message
                    .pointer("/params/request/url")?
                    .as_str()
                    .map(str::to_owned)
            })
            .flatten()
        });
        Ok(asked.collect())
    }

    /// The requests that left the app's own site.
    ///
    /// # Errors
    /// When the browser is gone.
    pub async fn requests_beyond(&mut self) -> anyhow::Result<Vec<String>> {
        let home = format!("{}/", self.server().origin());
        // `chrome:` is the browser's own first page; it never leaves the device.
        let within = [home.as_str(), "blob:", "data:", "about:", "chrome:"];
        let all = self.requests().await?;
        anyhow::ensure!(
            !all.is_empty(),
            "no request was seen at all, so nothing was checked"
        );
        Ok(all
            .into_iter()
            .filter(|address| !within.iter().any(|w| address.starts_with(w)))
            .collect())
    }

    /// How far the page is wider than the screen, in pixels.
    ///
    /// # Errors
    /// When the page is gone.
    pub async fn overhang(&self) -> anyhow::Result<i64> {
        let root = "document.documentElement";
        let wider = self
            .run(
                &format!("return {root}.scrollWidth - {root}.clientWidth"),
                &[],
            )
            .await?;
        Ok(wider.as_i64().unwrap_or_default())
    }

    /// Keeps a picture and prints the log, after a failure. What can't be had is left out.
    pub(crate) async fn keep_traces(&self, name: &str) {
        if let Ok(file) = self.shot(name).await {
            println!("picture of the page: {}", file.display());
        }
        if let Ok(text) = self.text().await {
            println!("text of the page:\n{text}");
        }
        for line in self.log().await.unwrap_or_default() {
            println!("browser: {line}");
        }
    }

    pub(crate) async fn close(self) {
        // The browser ends with its driver anyway, and that when it is dropped.
        drop(self.driver.quit().await);
    }

    /// What the app said through an event on the window. Call it before opening a page.
    ///
    /// # Errors
    /// When the browser refuses it.
    pub async fn note_events(&self, names: &[&str]) -> anyhow::Result<()> {
        let script = format!(
            "window.noted = []; for (const name of {}) addEventListener(name, () => window.noted.push(name));",
            json!(names)
        );
        self.before_load(&script).await
    }

    /// Waits until such an event was noted.
    ///
    /// # Errors
    /// When it wasn't in time.
    pub async fn noted(&self, name: &str) -> anyhow::Result<()> {
        let script = format!("return window.noted.includes({})", json!(name));
        self.wait_true(&format!("the event {name}"), &script).await
    }
}
