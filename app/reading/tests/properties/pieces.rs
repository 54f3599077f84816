//! Texts built of pieces as pastes have them, whole and broken.

use proptest::prelude::*;

const PIECES: &[&str] = &[
    "slot 07  step 0A  code 44D0  clock 2C8F10B0  seen 01", "slot 08  step 1F  code 5E9l  clock FFFFFFFF  seen 0C",
    "slot 09  empty", "fault log: 24 slots, next slot 07", "end of log", "slot 1", "slot ", "07  0A  44D0", "code 44D0",
    "  clock 0000", "10B0  seen 01", "SLOT 03 STEP 0a CODE ", "|07|0A|44D0|2C8F10B0|01|", "s1ot O7 step 0A code",
    "entry 0412: group amber number 14, on 03.11.2007 at 21:40:15, check GR", "entry 0413: group none",
    "entry 0414: group b", "tamsin log, newest first", "on 31.02.2007 at 25:61:00, check ", "--.--.---- at --:--:--",
    "2C 01 0B 3A 12 F2 51 3C 0D 52 02 7D", "2C010B3A12F2513C0D52027D", "2c 01 0b 3a", "FF FF FF FF FF FF FF FF FF FF FF FF",
    "0000: ", "00000010  ", "0x2C, 0x01", "\\x2C\\x01", "|.,.:.Q<.R.}|", "2C:01:0B:3A:12:F2:51:3C:0D:52:02:7D", "2CO1 0B3A 12F2 513C",
    "halyard ring: 64 records of 12 bytes, head 1F", "[quote]", "[/quote]", "[code]", "[/code]", "[b]", "[color=#F0AD4E]",
    "<td>", "</td>", "<br>", "<script>", "</script>", "<!--", "-->", "&nbsp;", "&#x34;", "&", "```", "> ", ">> ", "- ", "12) ",
    "[10:02:08.148] ", "2016-05-02 21:14:03 ", "<bob> ", "bob: ", "$ ", "--More--", "my console stopped with 44D0 again",
    "\u{A0}", "\u{200B}", "\u{FEFF}", "\u{410}", "\u{41E}", "\u{FF14}\u{FF24}", "\u{660}", "\u{1F600}", "e\u{301}", "…", "“", "–", "\u{202E}",
    "\t", "\u{B}", "\0", "\u{85}", "  ", " ", " ", ", ", "|", ";", "?", "\u{FFFD}", "0", "F", "l", "O",
    "\n", "\n", "\n", "\n", "\r\n", "\r\n", "\r", "\n\n", "\u{2028}",
];

/// Text of such pieces with a few strange characters between.
pub fn any_text() -> impl Strategy<Value = String> {
    let piece = prop_oneof![
        12 => prop::sample::select(PIECES).prop_map(str::to_owned),
        1 => any::<char>().prop_map(String::from),
        1 => "[0-9A-F]{1,9}",
        1 => "[ -~]{0,12}",
    ];
    proptest::collection::vec(piece, 0..28).prop_map(|p| p.concat())
}
