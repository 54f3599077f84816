//! What the device does: no connection, slow, dark, large text, no storage.

use crate::Page;
use serde_json::json;

impl Page {
    /// A command of the browser's own developer protocol.
    ///
    /// # Errors
    /// When the browser refuses it.
    pub async fn cdp(
        &self,
        method: &str,
        parameters: serde_json::Value,
    ) -> anyhow::Result<serde_json::Value> {
        Ok(self.driver.cdp().send_raw(method, parameters).await?)
    }

    /// Cuts or restores the page's connection. Stopping the server is stricter.
    ///
    /// # Errors
    /// When the browser refuses it.
    pub async fn set_offline(&self, offline: bool) -> anyhow::Result<()> {
        let conditions = json!({ "offline": offline, "latency": 0, "downloadThroughput": -1, "uploadThroughput": -1 });
        self.cdp("Network.emulateNetworkConditions", conditions)
            .await
            .map(drop)
    }

    /// Makes the processor this many times slower.
    ///
    /// # Errors
    /// When the browser refuses it.
    pub async fn slow_down(&self, times: f64) -> anyhow::Result<()> {
        self.cdp("Emulation.setCPUThrottlingRate", json!({ "rate": times }))
            .await
            .map(drop)
    }

    /// Sets a preference that stylesheets can ask for, such as
    /// `prefers-color-scheme` and `dark`.
    ///
    /// # Errors
    /// When the browser refuses it.
    pub async fn prefers(&self, feature: &str, value: &str) -> anyhow::Result<()> {
        let features = json!({ "features": [{ "name": feature, "value": value }] });
        self.cdp("Emulation.setEmulatedMedia", features)
            .await
            .map(drop)
    }

    /// Makes all text larger, as the device's setting does; 2.0 is 200 %.
    ///
    /// # Errors
    /// When the page is gone.
    pub async fn text_size(&self, times: f64) -> anyhow::Result<()> {
        let script = "document.documentElement.style.fontSize = `${arguments[0] * 100}%`";
        self.run(script, &[json!(times)]).await.map(drop)
    }

    /// Makes the browser refuse all storage to pages opened from now on.
    ///
    /// # Errors
    /// When the browser refuses it.
    pub async fn block_storage(&self) -> anyhow::Result<()> {
        let script =
            "for (const name of ['localStorage', 'sessionStorage', 'indexedDB', 'caches']) {
            Object.defineProperty(window, name, {
                get() { throw new DOMException('blocked by the test', 'SecurityError'); },
            });
        }";
        self.before_load(script).await
    }

    /// Runs a script in every page opened from now on, before the page's own.
    ///
    /// # Errors
    /// When the browser refuses it.
    pub async fn before_load(&self, script: &str) -> anyhow::Result<()> {
        self.cdp(
            "Page.addScriptToEvaluateOnNewDocument",
            json!({ "source": script }),
        )
        .await
        .map(drop)
    }

    /// Waits until the service worker holds the app, so that it opens offline.
    ///
    /// # Errors
    /// When it doesn't in time.
    pub async fn ready_offline(&self) -> anyhow::Result<()> {
        self.wait_true(
            "the service worker",
            "return !!navigator.serviceWorker.controller",
        )
        .await
    }
}
