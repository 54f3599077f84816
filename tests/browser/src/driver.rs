//! Starting chromedriver and a fresh Chromium.

use anyhow::Context;
use packager::command::which;
use serde_json::json;
use std::net::TcpListener;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};
use thirtyfour::common::capabilities::chromium::ChromiumLikeCapabilities;
use thirtyfour::{CapabilitiesHelper, DesiredCapabilities, WebDriver};

/// The size and kind of the screen.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Screen {
    /// 390 x 844, three dots per pixel, touch.
    Phone,
    /// 1280 x 900, mouse.
    Desktop,
}

/// What a browser was started from, to start it again.
#[derive(Debug)]
pub struct Home {
    /// Its chromedriver.
    pub driver: Driver,
    /// Its screen.
    pub screen: Screen,
    /// The folder with all it keeps.
    pub profile: PathBuf,
}

/// A running chromedriver; it ends when dropped.
#[derive(Debug)]
pub struct Driver {
    child: Child,
    port: u16,
}

/// Ours alone: no requests of the browser's own, no traces of earlier runs.
const FLAGS: [&str; 11] = [
    "--headless=new",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--disable-dev-shm-usage",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-default-apps",
    "--disable-sync",
    "--hide-scrollbars",
];

impl Driver {
    /// Starts chromedriver on a free port.
    pub async fn start() -> anyhow::Result<Self> {
        let (driver, browser) = (which("chromedriver"), which("chromium"));
        let (Some(driver), Some(_)) = (driver, browser) else {
            anyhow::bail!(
                "the browser tests need the packages chromium and chromium-driver; `cargo verify` installs them"
            );
        };
        let port = TcpListener::bind("127.0.0.1:0")?.local_addr()?.port();
        let child = Command::new(driver)
            .arg(format!("--port={port}"))
            .arg("--silent")
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .context("chromedriver does not start")?;
        let started = Self { child, port };
        let start = Instant::now();
        while std::net::TcpStream::connect(("127.0.0.1", port)).is_err() {
            anyhow::ensure!(
                start.elapsed() < Duration::from_secs(20),
                "chromedriver does not answer"
            );
            tokio::time::sleep(Duration::from_millis(50)).await;
        }
        Ok(started)
    }

    /// The number of its process.
    pub fn process(&self) -> u32 {
        self.child.id()
    }

    /// Opens a browser that keeps what it keeps in this folder.
    pub async fn browser(&self, screen: Screen, profile: &Path) -> anyhow::Result<WebDriver> {
        let mut wanted = DesiredCapabilities::chrome();
        for flag in FLAGS {
            wanted.add_arg(flag)?;
        }
        wanted.add_arg(&format!("--user-data-dir={}", profile.display()))?;
        match screen {
            Screen::Phone => {
                let metrics = json!({ "width": 390, "height": 844, "pixelRatio": 3.0, "touch": true, "mobile": true });
                wanted.add_experimental_option(
                    "mobileEmulation",
                    json!({ "deviceMetrics": metrics }),
                )?;
            }
            Screen::Desktop => wanted.add_arg("--window-size=1280,900")?,
        }
        wanted.set(
            "goog:loggingPrefs",
            json!({ "browser": "ALL", "performance": "ALL" }),
        )?;
        Ok(WebDriver::new(&format!("http://127.0.0.1:{}", self.port), wanted).await?)
    }
}

impl Drop for Driver {
    fn drop(&mut self) {
        // It takes its browser along. Nothing is left to do when it is gone already.
        drop(self.child.kill());
        drop(self.child.wait());
    }
}
