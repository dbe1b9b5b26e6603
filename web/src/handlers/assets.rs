//! Style sheet, script and icon, compiled in, under names that hold the hash of their content.

use std::sync::LazyLock;

use axum::extract::Path;
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse, Response};
use indexer::hash::sha256;

/// One file that is compiled in.
struct Asset {
    name: String,
    kind: &'static str,
    bytes: &'static [u8],
}

static STYLE: LazyLock<Asset> = LazyLock::new(|| {
    Asset::of("style", "css", "text/css; charset=utf-8", include_bytes!("../assets/style.css"))
});
static SCRIPT: LazyLock<Asset> = LazyLock::new(|| {
    Asset::of("lastbench", "js", "text/javascript; charset=utf-8", include_bytes!("../assets/lastbench.js"))
});
static ICON: LazyLock<Asset> = LazyLock::new(|| {
    Asset::of("icon", "svg", "image/svg+xml; charset=utf-8", include_bytes!("../assets/icon.svg"))
});

impl Asset {
    fn of(stem: &str, ending: &str, kind: &'static str, bytes: &'static [u8]) -> Self {
        let hash = sha256(bytes);
        Self { name: format!("{stem}-{}.{ending}", &hash[..12]), kind, bytes }
    }

    fn href(&self) -> String {
        format!("/assets/{}", self.name)
    }
}

/// The address of the style sheet.
pub fn style_href() -> String {
    STYLE.href()
}

/// The address of the script.
pub fn script_href() -> String {
    SCRIPT.href()
}

/// The address of the icon.
pub fn icon_href() -> String {
    ICON.href()
}

/// Serves one of them; the name changes with the content, so it may be kept for ever.
pub async fn asset(Path(name): Path<String>) -> Response {
    match [&STYLE, &SCRIPT, &ICON].into_iter().find(|asset| asset.name == name) {
        Some(asset) => ([(header::CONTENT_TYPE, asset.kind)], asset.bytes).into_response(),
        None => StatusCode::NOT_FOUND.into_response(),
    }
}

#[cfg(test)]
mod tests {
    #[test]
    fn the_script_is_our_own_and_smaller_than_ten_kilobytes() {
        assert!(include_bytes!("../assets/lastbench.js").len() < 10_000);
    }
}
