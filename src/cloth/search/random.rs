//! Random numbers that are the same everywhere for the same seed.

/// A generator of random numbers: xoshiro256++ of Blackman and Vigna (2021), seeded through splitmix64.
#[derive(Clone, Debug)]
pub(super) struct Random {
    state: [u64; 4],
}

impl Random {
    /// The generator of a seed and, among those of the same seed, of a stream.
    pub fn new(seed: u64, stream: u64) -> Random {
        let mut source = seed ^ stream.wrapping_mul(0xD1B5_4A32_D192_ED03);
        let state = std::array::from_fn(|_| {
            source = source.wrapping_add(0x9E37_79B9_7F4A_7C15);
            let mut z = source;
            z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
            z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
            z ^ (z >> 31)
        });
        Random { state }
    }

    /// Any number of 64 bits.
    pub fn bits(&mut self) -> u64 {
        let s = &mut self.state;
        let result = s[0].wrapping_add(s[3]).rotate_left(23).wrapping_add(s[0]);
        let t = s[1] << 17;
        s[2] ^= s[0];
        s[3] ^= s[1];
        s[1] ^= s[2];
        s[0] ^= s[3];
        s[2] ^= t;
        s[3] = s[3].rotate_left(45);
        result
    }

    /// A number from 0 up to 1, without 1.
    pub fn share(&mut self) -> f64 {
        (self.bits() >> 11) as f64 / (1u64 << 53) as f64
    }

    /// A number from `low` to `high`.
    pub fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.share()
    }

    /// A place in a list of `count`, which must not be 0.
    pub fn place(&mut self, count: usize) -> usize {
        ((self.bits() >> 32).wrapping_mul(count as u64) >> 32) as usize
    }

    /// Puts a list into a random order.
    pub fn shuffle<T>(&mut self, list: &mut [T]) {
        for i in (1..list.len()).rev() {
            let other = self.place(i + 1);
            list.swap(i, other);
        }
    }
}
