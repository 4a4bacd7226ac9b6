#![no_main]
//! The bytes are the model part itself, packed before they are read, since a fuzzer rarely makes a valid zip.

mod check;

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| check::check(&pack(bytes), "a.3mf"));

/// A zip of one stored entry.
fn pack(content: &[u8]) -> Vec<u8> {
    let name = b"3D/3dmodel.model";
    let size = (content.len() as u32).to_le_bytes();
    let crc = crc32(content).to_le_bytes();
    let mut common = vec![20, 0, 0, 0, 0, 0, 0, 0, 0x21, 0];
    common.extend(crc);
    common.extend(size);
    common.extend(size);
    common.extend((name.len() as u16).to_le_bytes());
    common.extend([0, 0]);
    let mut zip = b"PK\x03\x04".to_vec();
    zip.extend(&common);
    zip.extend(name);
    zip.extend(content);
    let directory = (zip.len() as u32).to_le_bytes();
    let start = zip.len();
    zip.extend(b"PK\x01\x02\x14\x00");
    zip.extend(&common);
    zip.extend([0; 14]);
    zip.extend(name);
    let length = ((zip.len() - start) as u32).to_le_bytes();
    zip.extend(b"PK\x05\x06\x00\x00\x00\x00\x01\x00\x01\x00");
    zip.extend(length);
    zip.extend(directory);
    zip.extend([0, 0]);
    zip
}

/// The check sum of zip (ISO 3309, polynomial 0xEDB88320 reflected).
fn crc32(bytes: &[u8]) -> u32 {
    !bytes.iter().fold(!0_u32, |crc, b| {
        (0..8).fold(crc ^ u32::from(*b), |c, _| if c & 1 == 1 { c >> 1 ^ 0xEDB8_8320 } else { c >> 1 })
    })
}
