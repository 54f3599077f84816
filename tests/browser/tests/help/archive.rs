//! Backups as files: caught when the app saves one, looked into, given back.
#![allow(dead_code, reason = "each test file uses its own part of it")]

use super::help::tap;
use super::notebook::{base64, beside};
use browser_tests::{Outcome, Page, Value, json};
use tempfile::NamedTempFile;

/// Keeps what the page would save to the device, with its name.
const CATCH: &str = "(() => {
    window.caught = [];
    const blobs = new Map(), make = URL.createObjectURL;
    URL.createObjectURL = (blob) => {
        const address = make.call(URL, blob);
        blobs.set(address, blob);
        return address;
    };
    HTMLAnchorElement.prototype.click = function () {
        if (!this.download) return HTMLElement.prototype.click.call(this);
        window.caught.push({ name: this.download, blob: blobs.get(this.href) });
    };
})();";

/// Catches all files that pages opened from now on in this tab save.
pub async fn catch_files(page: &Page) -> Outcome {
    page.before_load(CATCH).await
}

/// The last file that was saved on this page: its name and its bytes. Waits for
/// one and takes it out.
pub async fn caught(page: &Page) -> anyhow::Result<(String, Vec<u8>)> {
    page.wait_true("a saved file", "return window.caught.length > 0")
        .await?;
    let script = "const { name, blob } = window.caught.pop();
        return (async () => {
            const bytes = new Uint8Array(await blob.arrayBuffer());
            let text = '';
            for (let at = 0; at < bytes.length; at += 8192) {
                text += String.fromCharCode(...bytes.subarray(at, at + 8192));
            }
            return [name, btoa(text)];
        })();";
    let found = page.run(script, &[]).await?;
    let text = |n: usize| found[n].as_str().unwrap_or_default();
    Ok((text(0).to_owned(), base64(text(1))?))
}

/// Makes a backup on the page for it, and gives the file.
pub async fn backup(page: &Page) -> anyhow::Result<Vec<u8>> {
    page.open("/backup").await?;
    tap(page, "button", "Make a backup").await?;
    page.sees("The file is ready.").await?;
    tap(page, "button", "Save the file").await?;
    page.sees("Last backup: today").await?;
    let (name, bytes) = caught(page).await?;
    anyhow::ensure!(
        name.starts_with("faultleaf-") && name.ends_with(".zip"),
        "the file is called {name}"
    );
    Ok(bytes)
}

/// Gives the page for backups a file, and waits until it says what would
/// happen, or why not. Gives all that the part of the page says, and the file,
/// which the page reads again when it is read in.
pub async fn look_into(page: &Page, bytes: &[u8]) -> anyhow::Result<(String, NamedTempFile)> {
    page.open("/backup").await?;
    let file = tempfile::Builder::new().suffix(".zip").tempfile()?;
    std::fs::write(file.path(), bytes)?;
    page.choose_file("#backup-file", file.path()).await?;
    let part = "const part = [...document.querySelectorAll('main section')]
        .find((s) => s.querySelector('h2')?.innerText === 'Read a backup in');";
    let over = format!(
        "{part} return !part.querySelector('progress')
            && !!(part.querySelector('.bad') || part.innerText.includes('What would happen'))"
    );
    page.wait_true("the look into the file", &over).await?;
    let script = format!(
        "{part} part.querySelectorAll('details').forEach((d) => {{ d.open = true }});
        return part.innerText"
    );
    let said = page.run(&script, &[]).await?;
    Ok((said.as_str().unwrap_or_default().to_owned(), file))
}

/// Reads a backup in. Gives what was said before that.
pub async fn read_in(page: &Page, bytes: &[u8]) -> anyhow::Result<String> {
    let (said, _file) = look_into(page, bytes).await?;
    tap(page, "button", "Read it in").await?;
    page.sees("Read in.").await?;
    Ok(said)
}

/// One file to put into an archive: its path, its bytes, and whether to pack it
/// (then `packed` holds the packed bytes).
pub struct Entry {
    /// Its path.
    pub path: String,
    /// What is in it.
    pub bytes: Vec<u8>,
    /// The packed form and the size it claims to have, if it is not stored.
    pub packed: Option<(Vec<u8>, u32)>,
}

/// A stored file.
pub fn stored(path: &str, bytes: impl Into<Vec<u8>>) -> Entry {
    Entry {
        path: path.to_owned(),
        bytes: bytes.into(),
        packed: None,
    }
}

/// A ZIP archive, written by hand after the file format note of PKWARE
/// (APPNOTE 4.3.7, 4.3.12, 4.3.16; from memory), so that it can also be wrong on
/// purpose.
pub fn zip(entries: &[Entry]) -> Vec<u8> {
    let (mut out, mut directory) = (Vec::new(), Vec::new());
    let short = |n: usize| u16::try_from(n).unwrap().to_le_bytes();
    let long = |n: usize| u32::try_from(n).unwrap().to_le_bytes();
    for entry in entries {
        let at = out.len();
        let (body, method, raw) = match &entry.packed {
            Some((packed, raw)) => (packed, 8_usize, *raw as usize),
            None => (&entry.bytes, 0, entry.bytes.len()),
        };
        let mut same = Vec::new();
        same.extend(short(20));
        same.extend(short(0x0800)); // The name is UTF-8.
        same.extend(short(method));
        same.extend([0; 4]);
        same.extend(crc32(&entry.bytes).to_le_bytes());
        same.extend(long(body.len()));
        same.extend(long(raw));
        same.extend(short(entry.path.len()));
        same.extend(short(0));
        out.extend(b"PK\x03\x04");
        out.extend(&same);
        out.extend(entry.path.as_bytes());
        out.extend(body);
        directory.extend(b"PK\x01\x02");
        directory.extend(short(20));
        directory.extend(&same);
        directory.extend([0; 10]);
        directory.extend(long(at));
        directory.extend(entry.path.as_bytes());
    }
    let at = out.len();
    out.extend(&directory);
    out.extend(b"PK\x05\x06\0\0\0\0");
    out.extend(short(entries.len()));
    out.extend(short(entries.len()));
    out.extend(long(directory.len()));
    out.extend(long(at));
    out.extend([0; 2]);
    out
}

/// CRC-32 as ZIP has it (polynomial EDB88320, reflected), bit by bit.
pub fn crc32(bytes: &[u8]) -> u32 {
    let mut crc = u32::MAX;
    for byte in bytes {
        crc ^= u32::from(*byte);
        for _ in 0..8 {
            crc = crc >> 1 ^ (0xEDB8_8320 & (crc & 1).wrapping_neg());
        }
    }
    !crc
}

/// The files of an archive as text (one character a byte beyond ASCII where it
/// is no UTF-8), by path. The browser unpacks them, not the app.
pub async fn unzip(page: &Page, bytes: &[u8]) -> anyhow::Result<Value> {
    let hex: String = bytes.iter().map(|b| format!("{b:02x}")).collect();
    let script = "const all = Uint8Array.from(arguments[0].match(/../g), (h) => parseInt(h, 16));
        const view = new DataView(all.buffer);
        let end = all.length - 22;
        while (view.getUint32(end, true) !== 0x06054b50) end--;
        let at = view.getUint32(end + 16, true);
        const text = (b) => new TextDecoder().decode(b);
        return (async () => {
            const found = {};
            for (let n = view.getUint16(end + 10, true); n > 0; n--) {
                const [method, size, name, extra, note, head] = [
                    view.getUint16(at + 10, true), view.getUint32(at + 20, true), view.getUint16(at + 28, true),
                    view.getUint16(at + 30, true), view.getUint16(at + 32, true), view.getUint32(at + 42, true)];
                const path = text(all.subarray(at + 46, at + 46 + name));
                const from = head + 30 + view.getUint16(head + 26, true) + view.getUint16(head + 28, true);
                let body = new Blob([all.subarray(from, from + size)]);
                if (method === 8) {
                    body = body.stream().pipeThrough(new DecompressionStream('deflate-raw'));
                }
                found[path] = await new Response(body).text();
                at += 46 + name + extra + note;
            }
            return found;
        })();";
    page.run(script, &[json!(hex)]).await
}

/// A packed file that unpacks to `times` times 258 zero bytes and one more, and
/// claims to have `raw` of them. RFC 1951, 3.2.6: one block with the fixed
/// codes, a zero, then over and over "258 bytes from one byte ago", in 13 bits.
pub fn bomb(path: &str, times: usize, raw: u32) -> Entry {
    let (mut packed, mut bits, mut count) = (Vec::new(), 0_u64, 0);
    // Codes go in from their highest bit.
    let mut put = |code: u32, len: u32| {
        for n in (0..len).rev() {
            bits |= u64::from(code >> n & 1) << count;
            count += 1;
            if count == 8 {
                packed.push(u8::try_from(bits).unwrap());
                (bits, count) = (0, 0);
            }
        }
    };
    put(0b110, 3); // The last block; fixed codes (01, from its lowest bit).
    put(0b0011_0000, 8);
    for _ in 0..times {
        put(0b1100_0101, 8);
        put(0, 5);
    }
    put(0, 7);
    put(0, 7); // To the end of the byte.
    Entry {
        path: path.to_owned(),
        bytes: Vec::new(),
        packed: Some((packed, raw)),
    }
}

/// Empties the notebook and forgets the device, as if this was another one.
///
/// The database itself stays: Chromium 156, asked to delete one of which a page
/// that was just left still holds a connection in its back/forward cache, says
/// that it is gone and then never opens it again (35 of 50 turns on one core).
pub async fn wipe(page: &Page) -> Outcome {
    let clear = "const tx = db.transaction([...db.objectStoreNames], 'readwrite');
        for (const name of db.objectStoreNames) tx.objectStore(name).clear();
        await new Promise((done, failed) => { tx.oncomplete = done; tx.onabort = failed });
        localStorage.clear();
        return true";
    let cleared = beside(page, clear, &[]).await?;
    anyhow::ensure!(cleared == true, "there is no notebook to empty");
    Ok(())
}
