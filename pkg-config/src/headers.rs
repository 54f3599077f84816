//! What the site says about itself to a browser: types of files, how long to
//! keep them, and what a page may do.
//!
//! The policy allows nothing but this origin, so a log can't be sent anywhere
//! even by a mistake in the app. It stands in the page as well (see
//! [`crate::page`]), because a static host may not let us set headers.

use crate::assets::HASHED_FOLDER;

/// What a page may load and reach: only files of this site, no inline scripts
/// and no inline styles. Pictures may also come from the page itself.
pub const POLICY: &str = "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; style-src 'self'; \
    img-src 'self' blob: data:; connect-src 'self'; manifest-src 'self'; worker-src 'self'; \
    form-action 'self'; base-uri 'none'";

/// Headers of every answer, in the order they are sent.
pub fn security() -> Vec<(&'static str, String)> {
    vec![
        // `frame-ancestors` counts only in a header, so the page's copy lacks it.
        (
            "Content-Security-Policy",
            format!("{POLICY}; frame-ancestors 'none'"),
        ),
        ("Cross-Origin-Opener-Policy", "same-origin".to_owned()),
        ("Cross-Origin-Resource-Policy", "same-origin".to_owned()),
        (
            "Permissions-Policy",
            "camera=(), geolocation=(), microphone=(), payment=(), usb=()".to_owned(),
        ),
        ("Referrer-Policy", "no-referrer".to_owned()),
        ("X-Content-Type-Options", "nosniff".to_owned()),
    ]
}

/// How long a browser may keep what it got from this address.
pub fn keep(address: &str) -> &'static str {
    if address.starts_with(HASHED_FOLDER) && !address.starts_with("/assets/snippets/") {
        "public, max-age=31536000, immutable"
    } else {
        "no-cache"
    }
}

/// The type of a file. Streaming compilation needs the right one for wasm,
/// and `nosniff` makes the others count too.
pub fn kind(address: &str) -> &'static str {
    match address.rsplit('.').next().unwrap_or_default() {
        // The page's own address ends in a slash.
        "html" | "/" => "text/html; charset=utf-8",
        "css" => "text/css; charset=utf-8",
        "js" => "text/javascript; charset=utf-8",
        "json" => "application/json",
        "webmanifest" => "application/manifest+json",
        "wasm" => "application/wasm",
        "svg" => "image/svg+xml",
        "png" => "image/png",
        "txt" | "log" | "csv" => "text/plain; charset=utf-8",
        _ => "application/octet-stream",
    }
}

/// Whether packing this file saves anything; pictures are packed already.
pub fn packs(address: &str) -> bool {
    !matches!(kind(address), "image/png" | "application/octet-stream")
}

/// The `_headers` file that several static hosts understand.
pub fn file_for_hosts() -> String {
    let mut text = String::from("/*\n");
    for (name, value) in security() {
        text.push_str(&format!("  {name}: {value}\n"));
    }
    text.push_str(&format!("  Cache-Control: {}\n", keep("/")));
    // Where two rules fit an address, hosts join the values, so the first is taken back.
    text.push_str(&format!(
        "{HASHED_FOLDER}*\n  ! Cache-Control\n  Cache-Control: {}\n",
        keep("/assets/x")
    ));
    text.push_str(&format!(
        "/*.webmanifest\n  Content-Type: {}\n",
        kind(".webmanifest")
    ));
    text.push_str(&format!("/*.wasm\n  Content-Type: {}\n", kind(".wasm")));
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn types_that_browsers_insist_on() {
        assert_eq!(kind("/assets/app.0123456789.wasm"), "application/wasm");
        assert_eq!(kind("/manifest.webmanifest"), "application/manifest+json");
        assert!(kind("/sw.js").starts_with("text/javascript"));
    }

    #[test]
    fn only_names_with_a_hash_are_kept_for_ever() {
        assert!(keep("/assets/app.0123456789.js").contains("immutable"));
        for address in [
            "/",
            "/index.html",
            "/sw.js",
            "/manifest.webmanifest",
            "/books/orrery.json",
        ] {
            assert_eq!(keep(address), "no-cache", "{address}");
        }
    }

    #[test]
    fn the_policy_has_no_way_out_and_nothing_inline() {
        assert!(POLICY.starts_with("default-src 'none'"));
        assert!(
            !POLICY.contains("unsafe-inline")
                && !POLICY.contains("'unsafe-eval'")
                && !POLICY.contains("http")
        );
        assert!(
            !POLICY.contains("  "),
            "line breaks in the source must not show"
        );
    }

    #[test]
    fn hosts_get_the_same_headers() {
        let file = file_for_hosts();
        for (name, value) in security() {
            assert!(file.contains(&format!("  {name}: {value}\n")), "{name}");
        }
    }
}
