//! Who may come in: so many at a time, and so many from one address.

use std::collections::HashMap;
use std::io;
use std::net::IpAddr;
use std::sync::{Arc, Mutex, PoisonError};

use tokio::net::{TcpListener, TcpStream};
use tokio::sync::{OwnedSemaphorePermit, Semaphore};

use crate::config::HttpLimits;

/// The door.
pub(super) struct Door {
    places: Arc<Semaphore>,
    seats: Seats,
}

impl Door {
    pub(super) fn of(limits: HttpLimits) -> Self {
        Self { places: Arc::new(Semaphore::new(limits.connections)), seats: Seats::of(limits.per_address) }
    }

    /// The next connection with its seat; `None` when its address has all its seats taken. While the house is full
    /// nothing is accepted: callers wait in the listener's queue.
    pub(super) async fn next(&self, listener: &TcpListener) -> io::Result<Option<(TcpStream, Taken)>> {
        let place = Arc::clone(&self.places).acquire_owned().await.map_err(io::Error::other)?;
        let (stream, peer) = listener.accept().await?;
        let seat = self.seats.take(peer.ip());
        Ok(seat.map(|seat| (stream, Taken { _place: place, seat })))
    }
}

/// A place in the house and a seat of the address, given back when the connection ends.
pub(super) struct Taken {
    _place: OwnedSemaphorePermit,
    seat: Seat,
}

impl Taken {
    /// Where the connection comes from.
    pub(super) fn address(&self) -> IpAddr {
        self.seat.address
    }
}

/// The connections open from each address.
#[derive(Clone)]
struct Seats {
    each: usize,
    taken: Arc<Mutex<HashMap<IpAddr, usize>>>,
}

struct Seat {
    address: IpAddr,
    seats: Seats,
}

impl Seats {
    fn of(each: usize) -> Self {
        Self { each, taken: Arc::default() }
    }

    /// A seat for `address`, if it has one left. Loopback always has: a proxy or test on this machine speaks for many.
    fn take(&self, address: IpAddr) -> Option<Seat> {
        let mut taken = self.taken.lock().unwrap_or_else(PoisonError::into_inner);
        let count = taken.entry(address).or_default();
        if *count >= self.each && !address.to_canonical().is_loopback() {
            return None;
        }
        *count += 1;
        Some(Seat { address, seats: self.clone() })
    }
}

impl Drop for Seat {
    fn drop(&mut self) {
        let mut taken = self.seats.taken.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(count) = taken.get_mut(&self.address) {
            *count -= 1;
            if *count == 0 {
                taken.remove(&self.address);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_address_with_all_its_seats_taken_gets_none_and_loopback_always_does() {
        let seats = Seats::of(2);
        let tablet: IpAddr = "192.168.1.4".parse().unwrap();
        let (first, _second) = (seats.take(tablet), seats.take(tablet));
        assert!(first.is_some() && seats.take(tablet).is_none());
        assert!(seats.take("192.168.1.5".parse().unwrap()).is_some());
        drop(first);
        assert!(seats.take(tablet).is_some());
        let loopback: Vec<_> = (0..9).map(|_| seats.take("::ffff:127.0.0.1".parse().unwrap())).collect();
        assert!(loopback.iter().all(Option::is_some));
    }
}
