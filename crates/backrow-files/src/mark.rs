//! A number that tells texts apart.

/// FNV-1a with 64 bits (IETF draft-eastlake-fnv): the same on every machine and in every version of the program, so that it may stand in
/// files and their names. It is no seal against forgery.
pub fn fnv1a(bytes: &[u8]) -> u64 {
    let mix = |hash: u64, byte: &u8| (hash ^ u64::from(*byte)).wrapping_mul(0x0100_0000_01b3);
    bytes.iter().fold(0xcbf2_9ce4_8422_2325, mix)
}

#[cfg(test)]
mod tests {
    use super::*;
    use rstest::rstest;

    // Test vectors of the draft.
    #[rstest]
    #[case("", 0xcbf2_9ce4_8422_2325)]
    #[case("a", 0xaf63_dc4c_8601_ec8c)]
    #[case("foobar", 0x8594_4171_f739_67e8)]
    fn numbers_are_those_that_were_published(#[case] text: &str, #[case] number: u64) {
        assert_eq!(fnv1a(text.as_bytes()), number);
    }
}
