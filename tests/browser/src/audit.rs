//! The accessibility checker, run in the page.

use crate::Page;
use packager::places::Places;
use serde_json::Value;
use std::path::PathBuf;

/// One thing the checker found.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Finding {
    /// The rule, such as `color-contrast`.
    pub rule: String,
    /// What it says.
    pub help: String,
    /// The places on the page, as selectors with the reason.
    pub places: Vec<String>,
}

impl Page {
    /// Checks the page as it is now, against WCAG 2.2 A and AA and the
    /// checker's good practice. Nothing found is an empty list.
    ///
    /// # Errors
    /// When the checker isn't installed (`cargo verify` does it) or fails.
    pub async fn accessibility(&self) -> anyhow::Result<Vec<Finding>> {
        let script = script();
        let source = std::fs::read_to_string(&script).map_err(|e| {
            anyhow::anyhow!(
                "axe-core is not at {}: {e}; `cargo verify` installs it",
                script.display()
            )
        })?;
        // Through the developer protocol, which the page's policy doesn't hold for.
        self.cdp(
            "Runtime.evaluate",
            serde_json::json!({ "expression": source }),
        )
        .await?;
        let run = "const done = arguments[arguments.length - 1];
            axe.run(document, { resultTypes: ['violations'] })
                .then((r) => done({ violations: r.violations }), (e) => done({ error: String(e) }));";
        let found = self
            .driver
            .execute_async(run, Vec::new())
            .await?
            .json()
            .clone();
        if let Some(error) = found.get("error").and_then(Value::as_str) {
            anyhow::bail!("axe-core: {error}");
        }
        let Some(violations) = found.get("violations").and_then(Value::as_array) else {
            anyhow::bail!("axe-core gave no answer: {found}");
        };
        Ok(violations.iter().map(finding).collect())
    }
}

fn script() -> PathBuf {
    let named = std::env::var_os("FAULTLEAF_AXE").map(PathBuf::from);
    named.unwrap_or_else(|| {
        Places::here()
            .target
            .join("axe/node_modules/axe-core/axe.min.js")
    })
}

fn finding(violation: &Value) -> Finding {
    let text = |name: &str| {
        violation
            .get(name)
            .and_then(Value::as_str)
            .unwrap_or_default()
            .to_owned()
    };
    let nodes = violation
        .get("nodes")
        .and_then(Value::as_array)
        .map(Vec::as_slice)
        .unwrap_or_default();
    let place = |node: &Value| {
        let why = node
            .get("failureSummary")
            .and_then(Value::as_str)
            .unwrap_or_default();
        let target = node
            .get("target")
            .map(ToString::to_string)
            .unwrap_or_default();
        format!("{target}: {}", why.replace('\n', " "))
    };
    Finding {
        rule: text("id"),
        help: text("help"),
        places: nodes.iter().map(place).collect(),
    }
}
