//! How big the app may be over the air. The limits are data with a reason
//! each, so that raising one is a decision somebody wrote down.

use crate::assets::Asset;
use crate::compress::Packed;
use crate::step::problem;
use serde::Deserialize;

/// One limit, from `budgets.json`. A KB is 1000 bytes.
#[derive(Debug, Deserialize)]
pub struct Budget {
    /// What it counts, for the person who reads the table.
    pub name: String,
    /// The ending of the files it counts; nothing for everything fetched at install.
    pub ending: Option<String>,
    /// The most, packed with brotli.
    pub brotli_kb: f64,
    /// Why it is this number.
    pub reason: String,
}

/// One line of the table: a file and its sizes in bytes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Size {
    /// The address.
    pub address: String,
    /// As it is.
    pub raw: usize,
    /// Packed with gzip.
    pub gzip: usize,
    /// Packed with brotli.
    pub brotli: usize,
}

/// The sizes of everything that is fetched at install. A file that isn't
/// packed counts as it is.
pub fn sizes(assets: &[Asset], packed: &[Packed]) -> Vec<Size> {
    let of = |copy: &[u8], raw: usize| if copy.is_empty() { raw } else { copy.len() };
    let counted = assets.iter().zip(packed).filter(|(a, _)| a.precached);
    let mut sizes: Vec<Size> = counted
        .map(|(asset, packed)| {
            let raw = asset.bytes.len();
            let address = asset.address.clone();
            Size {
                address,
                raw,
                gzip: of(&packed.gzip, raw),
                brotli: of(&packed.brotli, raw),
            }
        })
        .collect();
    sizes.sort_by(|a, b| {
        b.brotli
            .cmp(&a.brotli)
            .then_with(|| a.address.cmp(&b.address))
    });
    sizes
}

/// The limits in the text of `budgets.json`.
///
/// # Errors
/// When it can't be read or a limit has no reason.
pub fn load(json: &str) -> anyhow::Result<Vec<Budget>> {
    let budgets: Vec<Budget> = serde_json::from_str(json).map_err(|e| {
        problem(
            format!("budgets.json: {e}"),
            "correct pkg-config/budgets.json.",
        )
    })?;
    for budget in &budgets {
        anyhow::ensure!(
            !budget.reason.trim().is_empty(),
            "budgets.json: {} has no reason",
            budget.name
        );
    }
    Ok(budgets)
}

/// The table of sizes, then each limit with what it is at.
pub fn table(sizes: &[Size], budgets: &[Budget]) -> String {
    let mut text = format!(
        "    {:<42}{:>10}{:>10}{:>10}\n",
        "fetched at the first load", "raw", "gzip", "brotli"
    );
    let mut line = |name: &str, raw: usize, gzip: usize, brotli: usize| {
        text.push_str(&format!(
            "    {name:<42}{:>10}{:>10}{:>10}\n",
            kb(raw),
            kb(gzip),
            kb(brotli)
        ));
    };
    for size in sizes {
        line(&size.address, size.raw, size.gzip, size.brotli);
    }
    let sum = |of: fn(&Size) -> usize| sizes.iter().map(of).sum::<usize>();
    line(
        "everything (KB of 1000 bytes)",
        sum(|s| s.raw),
        sum(|s| s.gzip),
        sum(|s| s.brotli),
    );
    for budget in budgets {
        let used = used(sizes, budget);
        let word = if over(used, budget) { "OVER" } else { "within" };
        text.push_str(&format!(
            "    {}: {} of {:.1} KB brotli, {word}\n",
            budget.name,
            kb(used),
            budget.brotli_kb
        ));
    }
    text
}

/// Holds the sizes against the limits.
///
/// # Errors
/// When one is passed; the message names it, and the biggest file it counts.
pub fn check(sizes: &[Size], budgets: &[Budget]) -> anyhow::Result<()> {
    for budget in budgets {
        let used = used(sizes, budget);
        if over(used, budget) {
            let biggest = sizes
                .iter()
                .find(|s| counts(s, budget))
                .map_or("", |s| &s.address);
            return Err(problem(
                format!(
                    "{} is {} KB, the budget is {:.1} KB",
                    budget.name,
                    kb(used),
                    budget.brotli_kb
                ),
                format!(
                    "make the app smaller (the biggest part is {biggest}), or raise the number in \
                     pkg-config/budgets.json and write down why."
                ),
            ));
        }
    }
    Ok(())
}

fn used(sizes: &[Size], budget: &Budget) -> usize {
    sizes
        .iter()
        .filter(|s| counts(s, budget))
        .map(|s| s.brotli)
        .sum()
}

fn counts(size: &Size, budget: &Budget) -> bool {
    budget
        .ending
        .as_ref()
        .is_none_or(|ending| size.address.ends_with(ending.as_str()))
}

fn over(used: usize, budget: &Budget) -> bool {
    used as f64 > budget.brotli_kb * 1000.0
}

fn kb(bytes: usize) -> String {
    format!("{:.1}", bytes as f64 / 1000.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sample() -> Vec<Size> {
        let one = |address: &str, brotli| Size {
            address: address.to_owned(),
            raw: 9000,
            gzip: 5000,
            brotli,
        };
        vec![one("/assets/app.wasm", 3000), one("/", 1000)]
    }

    fn limits(wasm: f64, all: f64) -> Vec<Budget> {
        let json = format!(
            r#"[{{"name":"program","ending":".wasm","brotli_kb":{wasm},"reason":"r"}},
                {{"name":"all","ending":null,"brotli_kb":{all},"reason":"r"}}]"#
        );
        load(&json).unwrap()
    }

    #[test]
    fn the_limit_itself_is_allowed_and_one_byte_more_is_not() {
        assert!(check(&sample(), &limits(3.0, 4.0)).is_ok());
        let error = check(&sample(), &limits(2.999, 4.0)).unwrap_err();
        assert!(error.to_string().contains("program is 3.0 KB"), "{error}");
        let error = check(&sample(), &limits(3.0, 3.999)).unwrap_err();
        assert!(error.to_string().starts_with("all is 4.0 KB"), "{error}");
    }

    #[test]
    fn the_table_shows_files_sum_and_limits() {
        let text = table(&sample(), &limits(2.0, 9.0));
        assert!(
            text.contains("/assets/app.wasm") && text.contains("3.0"),
            "{text}"
        );
        assert!(
            text.contains("program: 3.0 of 2.0 KB brotli, OVER"),
            "{text}"
        );
        assert!(text.contains("all: 4.0 of 9.0 KB brotli, within"), "{text}");
    }

    #[test]
    fn files_that_are_not_fetched_do_not_count() {
        let shown = Asset::plain("/a.txt", vec![0; 10]);
        let hidden = Asset::plain("/b.png", vec![0; 10]).left_out();
        let counted = sizes(&[shown, hidden], &[Packed::default(), Packed::default()]);
        assert_eq!(counted.len(), 1);
        assert_eq!(counted[0].brotli, 10);
    }

    #[test]
    fn a_limit_without_a_reason_is_refused() {
        assert!(load(r#"[{"name":"x","brotli_kb":1,"reason":" "}]"#).is_err());
        let own =
            std::fs::read_to_string(crate::places::Places::here().own("budgets.json")).unwrap();
        assert_eq!(load(&own).unwrap().len(), 2);
    }
}
