//! Packed copies of the files, made once, so that serving one costs nothing
//! and the sizes in the budget are the sizes that go over the air.

use crate::assets::Asset;
use crate::headers::packs;
use std::io::Write;

/// A file's two packed copies.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Packed {
    /// Brotli, highest quality.
    pub brotli: Vec<u8>,
    /// Gzip, for what doesn't know brotli.
    pub gzip: Vec<u8>,
}

/// Packs a file both ways.
///
/// # Errors
/// When a packer does (they write to memory, so hardly ever).
pub fn pack(bytes: &[u8]) -> anyhow::Result<Packed> {
    let mut brotli = Vec::new();
    let settings = brotli::enc::BrotliEncoderParams {
        quality: 11,
        lgwin: 22,
        ..Default::default()
    };
    let mut source = bytes;
    brotli::BrotliCompress(&mut source, &mut brotli, &settings)?;
    let mut gzip = flate2::write::GzEncoder::new(Vec::new(), flate2::Compression::best());
    gzip.write_all(bytes)?;
    Ok(Packed {
        brotli,
        gzip: gzip.finish()?,
    })
}

/// Packs many files, on all cores. A file that doesn't get smaller keeps
/// empty copies and is served as it is.
///
/// # Errors
/// As [`pack`].
pub fn pack_all(assets: &[Asset]) -> anyhow::Result<Vec<Packed>> {
    let next = std::sync::atomic::AtomicUsize::new(0);
    let cores = std::thread::available_parallelism().map_or(1, usize::from);
    let mut done: Vec<(usize, anyhow::Result<Packed>)> = std::thread::scope(|scope| {
        let work = || {
            let mut mine = Vec::new();
            loop {
                let n = next.fetch_add(1, std::sync::atomic::Ordering::Relaxed);
                let Some(asset) = assets.get(n) else {
                    break mine;
                };
                mine.push((n, pack_if_useful(asset)));
            }
        };
        let workers: Vec<_> = (0..cores).map(|_| scope.spawn(work)).collect();
        workers
            .into_iter()
            .filter_map(|w| w.join().ok())
            .flatten()
            .collect()
    });
    anyhow::ensure!(done.len() == assets.len(), "packing a file broke off");
    done.sort_by_key(|(n, _)| *n);
    done.into_iter().map(|(_, packed)| packed).collect()
}

fn pack_if_useful(asset: &Asset) -> anyhow::Result<Packed> {
    if !packs(&asset.address) {
        return Ok(Packed::default());
    }
    let packed = pack(&asset.bytes)?;
    let useful = packed.brotli.len() < asset.bytes.len() && packed.gzip.len() < asset.bytes.len();
    Ok(if useful { packed } else { Packed::default() })
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::io::Read;

    #[test]
    fn both_copies_unpack_to_the_file() {
        let bytes = b"slot 07  step 0A  code 44D0\n".repeat(40);
        let packed = pack(&bytes).unwrap();
        assert!(packed.brotli.len() < 100 && packed.gzip.len() < 100);
        let mut out = Vec::new();
        brotli::BrotliDecompress(&mut packed.brotli.as_slice(), &mut out).unwrap();
        assert_eq!(out, bytes);
        out.clear();
        flate2::read::GzDecoder::new(packed.gzip.as_slice())
            .read_to_end(&mut out)
            .unwrap();
        assert_eq!(out, bytes);
    }

    #[test]
    fn order_is_kept_and_useless_packing_is_dropped() {
        let long = Asset::plain("/a.txt", vec![b'a'; 5000]);
        let tiny = Asset::plain("/b.txt", b"b".to_vec());
        let picture = Asset::plain("/c.png", vec![0; 5000]);
        let packed = pack_all(&[long, tiny, picture]).unwrap();
        assert!(!packed[0].brotli.is_empty());
        assert_eq!(packed[1], Packed::default());
        assert_eq!(packed[2], Packed::default());
    }
}
