//! A device that votes: a random value in its cookie, of which a poll keeps a digest of its own.

use super::code::PollCode;
use crate::accounts::Secret;

/// A device that votes: 256 random bits, which only the device holds. `Debug` shows nothing of it.
#[derive(Debug, Clone)]
pub struct Device(Secret);

/// What a poll keeps of a device. In another poll the same device has another digest.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DeviceDigest(String);

impl Device {
    /// A new device from the system's random source.
    ///
    /// # Errors
    /// When the system gives no random numbers.
    pub fn generate() -> Result<Self, rand::rand_core::OsError> {
        Secret::generate().map(Self)
    }

    /// A device as its cookie names it; none when it cannot be one.
    #[must_use]
    pub fn from_text(text: &str) -> Option<Self> {
        Secret::from_text(text).map(Self)
    }

    /// The value for the cookie, never for a log.
    #[must_use]
    pub fn expose(&self) -> &str {
        self.0.expose()
    }

    /// What the poll of this code keeps of the device.
    #[must_use]
    pub fn digest_in(&self, poll: &PollCode) -> DeviceDigest {
        DeviceDigest(self.0.salted_digest(poll.as_str()))
    }
}

impl DeviceDigest {
    /// The digest as text.
    #[must_use]
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

#[cfg(test)]
mod tests {
    use super::{Device, PollCode};

    #[test]
    fn a_device_is_the_same_in_one_poll_and_another_in_the_next() {
        let device = Device::generate().expect("random numbers");
        let again = Device::from_text(device.expose()).expect("a device");
        let [first, second]: [PollCode; 2] = ["k7m3xq", "k7m3xr"].map(|code| code.parse().expect("a code"));
        assert_eq!(device.digest_in(&first), again.digest_in(&first));
        assert_ne!(device.digest_in(&first), device.digest_in(&second));
        assert!(!device.digest_in(&first).as_str().contains(device.expose()));
    }
}
