// Starts the program and lets the browser tests call what it offers.
import * as suite from "/suite.js";

await suite.default({ module_or_path: "/suite_bg.wasm" });
window.suite = suite;
