//! The hash by which the page names the one script and the one style that may run in it: SHA-256 of
//! FIPS 180-4, in base 64 of RFC 4648.

const ROUNDS: [u32; 64] = [
    0x428a_2f98,
    0x7137_4491,
    0xb5c0_fbcf,
    0xe9b5_dba5,
    0x3956_c25b,
    0x59f1_11f1,
    0x923f_82a4,
    0xab1c_5ed5,
    0xd807_aa98,
    0x1283_5b01,
    0x2431_85be,
    0x550c_7dc3,
    0x72be_5d74,
    0x80de_b1fe,
    0x9bdc_06a7,
    0xc19b_f174,
    0xe49b_69c1,
    0xefbe_4786,
    0x0fc1_9dc6,
    0x240c_a1cc,
    0x2de9_2c6f,
    0x4a74_84aa,
    0x5cb0_a9dc,
    0x76f9_88da,
    0x983e_5152,
    0xa831_c66d,
    0xb003_27c8,
    0xbf59_7fc7,
    0xc6e0_0bf3,
    0xd5a7_9147,
    0x06ca_6351,
    0x1429_2967,
    0x27b7_0a85,
    0x2e1b_2138,
    0x4d2c_6dfc,
    0x5338_0d13,
    0x650a_7354,
    0x76_6a_0a_bb,
    0x81c2_c92e,
    0x9272_2c85,
    0xa2bf_e8a1,
    0xa81a_664b,
    0xc24b_8b70,
    0xc76c_51a3,
    0xd192_e819,
    0xd699_0624,
    0xf40e_3585,
    0x106a_a070,
    0x19a4_c116,
    0x1e37_6c08,
    0x2748_774c,
    0x34b0_bcb5,
    0x391c_0cb3,
    0x4ed8_aa4a,
    0x5b9c_ca4f,
    0x682e_6ff3,
    0x748f_82ee,
    0x78a5_636f,
    0x84c8_7814,
    0x8cc7_0208,
    0x90be_fffa,
    0xa450_6ceb,
    0xbef9_a3f7,
    0xc671_78f2,
];
const START: [u32; 8] = [
    0x6a09_e667,
    0xbb67_ae85,
    0x3c6e_f372,
    0xa54f_f53a,
    0x510e_527f,
    0x9b05_688c,
    0x1f83_d9ab,
    0x5be0_cd19,
];

/// The hash in base 64, as a content security policy writes it.
pub fn base64(bytes: &[u8]) -> String {
    const DIGITS: &[u8; 64] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    let mut text = String::new();
    for three in hash(bytes).chunks(3) {
        let at = |place: usize| u32::from(three.get(place).copied().unwrap_or(0));
        let bits = at(0) << 16 | at(1) << 8 | at(2);
        for place in 0..4 {
            let digit = DIGITS[(bits >> (18 - 6 * place)) as usize & 63];
            text.push(if place <= three.len() {
                char::from(digit)
            } else {
                '='
            });
        }
    }
    text
}

fn hash(bytes: &[u8]) -> [u8; 32] {
    let mut message = bytes.to_vec();
    message.push(0x80);
    message.resize(message.len().next_multiple_of(64), 0);
    if message.len() - bytes.len() < 9 {
        message.resize(message.len() + 64, 0);
    }
    let end = message.len() - 8;
    message[end..].copy_from_slice(&(bytes.len() as u64 * 8).to_be_bytes());
    let mut state = START;
    for block in message.chunks_exact(64) {
        mix(&mut state, block);
    }
    let mut out = [0; 32];
    for (place, word) in out.chunks_exact_mut(4).zip(state) {
        place.copy_from_slice(&word.to_be_bytes());
    }
    out
}

fn mix(state: &mut [u32; 8], block: &[u8]) {
    let mut schedule = [0u32; 64];
    for (word, bytes) in schedule.iter_mut().zip(block.chunks_exact(4)) {
        *word = bytes
            .iter()
            .fold(0, |word, byte| word << 8 | u32::from(*byte));
    }
    for at in 16..64 {
        let (near, far) = (schedule[at - 15], schedule[at - 2]);
        let small = near.rotate_right(7) ^ near.rotate_right(18) ^ near >> 3;
        let large = far.rotate_right(17) ^ far.rotate_right(19) ^ far >> 10;
        schedule[at] = schedule[at - 16]
            .wrapping_add(small)
            .wrapping_add(schedule[at - 7])
            .wrapping_add(large);
    }
    let [mut a, mut b, mut c, mut d, mut e, mut f, mut g, mut h] = *state;
    for (round, word) in ROUNDS.iter().zip(schedule) {
        let large = e.rotate_right(6) ^ e.rotate_right(11) ^ e.rotate_right(25);
        let choice = (e & f) ^ (!e & g);
        let one = h
            .wrapping_add(large)
            .wrapping_add(choice)
            .wrapping_add(*round)
            .wrapping_add(word);
        let small = a.rotate_right(2) ^ a.rotate_right(13) ^ a.rotate_right(22);
        let majority = (a & b) ^ (a & c) ^ (b & c);
        let two = small.wrapping_add(majority);
        (h, g, f, e) = (g, f, e, d.wrapping_add(one));
        (d, c, b, a) = (c, b, a, one.wrapping_add(two));
    }
    for (kept, new) in state.iter_mut().zip([a, b, c, d, e, f, g, h]) {
        *kept = kept.wrapping_add(new);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn hex(bytes: &[u8]) -> String {
        hash(bytes)
            .iter()
            .map(|byte| format!("{byte:02x}"))
            .collect()
    }

    /// The examples of FIPS 180-2, appendix B, and the empty message (NIST test vectors, from memory).
    #[test]
    fn published_vectors() {
        for (message, expected) in [
            (
                "",
                "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855",
            ),
            (
                "abc",
                "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad",
            ),
            (
                "abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq",
                "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1",
            ),
        ] {
            assert_eq!(hex(message.as_bytes()), expected, "{message}");
        }
        assert_eq!(
            hex(&vec![b'a'; 1_000_000]),
            "cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0"
        );
        assert_eq!(base64(b""), "47DEQpj8HBSa+/TImW+5JCeuQeRkm5NMpJWZG3hSuFU=");
    }
}
