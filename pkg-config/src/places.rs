//! Where things are in the repository and in the target folder.

use std::path::{Path, PathBuf};

/// The folders the tool reads and writes.
#[derive(Clone, Debug)]
pub struct Places {
    /// The repository.
    pub root: PathBuf,
    /// Where builds go: `target/`, or what `CARGO_TARGET_DIR` says.
    pub target: PathBuf,
}

impl Places {
    /// The folders of this checkout.
    pub fn here() -> Self {
        // cargo sets the variable when it runs the tool; the other is where it was built.
        let own = std::env::var_os("CARGO_MANIFEST_DIR").map(PathBuf::from);
        let inside = own.as_deref().and_then(workspace).map(Path::to_path_buf);
        let built = Path::new(env!("CARGO_MANIFEST_DIR"));
        let root = inside.unwrap_or_else(|| workspace(built).unwrap_or(built).to_path_buf());
        let target = match std::env::var_os("CARGO_TARGET_DIR") {
            Some(dir) => root.join(dir),
            None => root.join("target"),
        };
        Self { root, target }
    }

    /// The finished site.
    pub fn site(&self) -> PathBuf {
        self.target.join("site")
    }

    /// The page of the store's tests, see [`crate::suite`].
    pub fn suite(&self) -> PathBuf {
        self.target.join("suite")
    }

    /// The builds for the browser, apart from the native ones: they use
    /// another compiler, and one folder would be rebuilt at every change.
    pub fn wasm(&self) -> PathBuf {
        self.target.join("wasm")
    }

    /// A file of the packager itself, such as a template.
    pub fn own(&self, name: &str) -> PathBuf {
        self.root.join("pkg-config").join(name)
    }

    /// A file the app ships.
    pub fn public(&self, name: &str) -> PathBuf {
        self.root.join("public").join(name)
    }
}

/// The nearest folder above that holds the lock file of the workspace.
fn workspace(inside: &Path) -> Option<&Path> {
    inside
        .ancestors()
        .find(|dir| dir.join("pkg-config").is_dir() && dir.join("Cargo.toml").is_file())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_repository_is_found() {
        let places = Places::here();
        assert!(places.root.join("pkg-config/budgets.json").is_file());
        assert_eq!(places.wasm(), places.target.join("wasm"));
    }
}
