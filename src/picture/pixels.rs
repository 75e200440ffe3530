//! Pixels, and what is done to them: made smaller, burnt out.

use super::KEPT_SIDE;

/// What a pixel holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Channels {
    /// One byte, 0 black.
    Grey,
    /// Three bytes: red, green, blue.
    Colour,
}

impl Channels {
    /// Bytes of a pixel.
    #[must_use]
    pub const fn bytes(self) -> usize {
        match self {
            Self::Grey => 1,
            Self::Colour => 3,
        }
    }
}

/// A picture: at least one pixel, and as many bytes as its size says.
#[derive(Clone, PartialEq, Eq)]
pub struct Pixels {
    width: u32,
    height: u32,
    channels: Channels,
    data: Vec<u8>,
}

impl std::fmt::Debug for Pixels {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{} × {} {:?}", self.width, self.height, self.channels)
    }
}

/// The grey of what was burnt out: neither the black nor the white of an angiogram, so that it is seen.
pub const BURNT: u8 = 0x58;

impl Pixels {
    /// A picture of these bytes, line by line; none when they are not as many as its size says, or none at all.
    #[must_use]
    pub fn new(width: u32, height: u32, channels: Channels, data: Vec<u8>) -> Option<Self> {
        let needed = (width as usize).checked_mul(height as usize)?.checked_mul(channels.bytes())?;
        (needed > 0 && needed == data.len()).then_some(Self { width, height, channels, data })
    }

    /// Pixels in a line.
    #[must_use]
    pub const fn width(&self) -> u32 {
        self.width
    }

    /// Lines.
    #[must_use]
    pub const fn height(&self) -> u32 {
        self.height
    }

    /// What a pixel holds.
    #[must_use]
    pub const fn channels(&self) -> Channels {
        self.channels
    }

    /// The bytes, line by line.
    #[must_use]
    pub fn data(&self) -> &[u8] {
        &self.data
    }

    /// How bright each pixel is, line by line (weights of ITU-R BT.601).
    #[must_use]
    pub fn brightness(&self) -> Vec<u8> {
        match self.channels {
            Channels::Grey => self.data.clone(),
            Channels::Colour => self
                .data
                .chunks_exact(3)
                .map(|p| {
                    let sum = 299 * u32::from(p[0]) + 587 * u32::from(p[1]) + 114 * u32::from(p[2]);
                    u8::try_from(sum / 1000).unwrap_or(u8::MAX)
                })
                .collect(),
        }
    }

    /// The picture, made smaller where a side is longer than what is kept. Each pixel is the mean of those that it
    /// stands for.
    #[must_use]
    pub fn shrunk(self) -> Self {
        let longer = self.width.max(self.height);
        if longer <= KEPT_SIDE {
            return self;
        }
        let side = |length: u32| {
            let scaled = u64::from(length) * u64::from(KEPT_SIDE) / u64::from(longer);
            u32::try_from(scaled).unwrap_or(KEPT_SIDE).max(1)
        };
        let (width, height) = (side(self.width), side(self.height));
        let bytes = self.channels.bytes();
        let mut data = Vec::with_capacity(width as usize * height as usize * bytes);
        let from = |index: u32, new: u32, old: u32| {
            let edge = |at: u32| (u64::from(at) * u64::from(old) / u64::from(new)) as usize;
            edge(index)..edge(index + 1).max(edge(index) + 1)
        };
        for y in 0..height {
            let lines = from(y, height, self.height);
            for x in 0..width {
                let columns = from(x, width, self.width);
                for channel in 0..bytes {
                    let mut sum = 0_u32;
                    for line in lines.clone() {
                        let start = line * self.width as usize;
                        for column in columns.clone() {
                            sum += u32::from(self.data[(start + column) * bytes + channel]);
                        }
                    }
                    let count = u32::try_from(lines.len() * columns.len()).unwrap_or(1);
                    data.push(u8::try_from((sum + count / 2) / count).unwrap_or(u8::MAX));
                }
            }
        }
        Self { width, height, channels: self.channels, data }
    }

    /// Burns rectangles out: what stood there is gone. A pixel that a rectangle touches goes with it.
    pub fn redact(&mut self, rectangles: &[Rectangle]) {
        let bytes = self.channels.bytes();
        for rectangle in rectangles {
            let columns = rectangle.columns(self.width);
            for line in rectangle.lines(self.height) {
                let start = line * self.width as usize;
                self.data[(start + columns.start) * bytes..(start + columns.end) * bytes].fill(BURNT);
            }
        }
    }
}

/// A part of a picture, in tenths of a percent of its width and height, so that it fits any size of it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Rectangle {
    left: u16,
    top: u16,
    width: u16,
    height: u16,
}

/// Why four numbers are no part of a picture.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum RectangleError {
    /// It is empty.
    #[error("A rectangle needs a width and a height.")]
    Empty,
    /// It reaches beyond the picture.
    #[error(
        "The rectangle reaches beyond the picture: left and width, top and height, are at most 100 % together."
    )]
    Beyond,
}

/// The whole width or height.
const WHOLE: u16 = 1000;

impl Rectangle {
    /// A part of a picture, in tenths of a percent.
    ///
    /// # Errors
    /// When it is empty, or reaches beyond the picture.
    pub fn new(left: u16, top: u16, width: u16, height: u16) -> Result<Self, RectangleError> {
        if width == 0 || height == 0 {
            return Err(RectangleError::Empty);
        }
        let fits = |start: u16, length: u16| start.checked_add(length).is_some_and(|end| end <= WHOLE);
        if !fits(left, width) || !fits(top, height) {
            return Err(RectangleError::Beyond);
        }
        Ok(Self { left, top, width, height })
    }

    /// Left, top, width and height, in tenths of a percent.
    #[must_use]
    pub const fn numbers(&self) -> [u16; 4] {
        [self.left, self.top, self.width, self.height]
    }

    /// The rectangle round these pixels of a picture, rounded outwards.
    #[must_use]
    pub(super) fn around(
        columns: std::ops::Range<usize>,
        lines: std::ops::Range<usize>,
        (width, height): (u32, u32),
    ) -> Option<Self> {
        let part = |range: &std::ops::Range<usize>, whole: u32| {
            let whole = whole as usize;
            let start = range.start * usize::from(WHOLE) / whole;
            let end = (range.end * usize::from(WHOLE)).div_ceil(whole).min(usize::from(WHOLE));
            Some((u16::try_from(start).ok()?, u16::try_from(end.checked_sub(start)?).ok()?))
        };
        let ((left, wide), (top, high)) = (part(&columns, width)?, part(&lines, height)?);
        Self::new(left, top, wide, high).ok()
    }

    fn columns(&self, width: u32) -> std::ops::Range<usize> {
        touched(self.left, self.width, width)
    }

    fn lines(&self, height: u32) -> std::ops::Range<usize> {
        touched(self.top, self.height, height)
    }
}

/// The pixels of a side that a stretch of it touches.
fn touched(start: u16, length: u16, side: u32) -> std::ops::Range<usize> {
    let (whole, side) = (usize::from(WHOLE), side as usize);
    let from = usize::from(start) * side / whole;
    let to = (usize::from(start + length) * side).div_ceil(whole);
    from.min(side)..to.min(side)
}
