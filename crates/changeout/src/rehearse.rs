//! A simulated drive as a real Modbus TCP server on this machine, so that a real master can be tried before anything is connected.
//!
//! Nothing but the loopback address is served: a simulated drive that answers in a plant's network could be taken for the real one.

mod frame;
mod server;
mod simulated;
#[cfg(test)]
mod tests;

use std::io;
use std::net::{IpAddr, Ipv4Addr, SocketAddr};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::Duration;

pub(crate) use frame::Function;
use server::Server;
pub(crate) use simulated::Simulated;

/// Why a device refuses a request; the number is the exception code of the Modbus application protocol (V1.1b3, clause 7, from memory).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Refusal {
    /// 02: a register that is not there, or cannot be written.
    Address,
    /// 03: a value that the register does not take.
    Value,
    /// 04: the device cannot do it now.
    Failure,
}

/// What answers behind the server. Registers go by their address on the wire, from 0.
pub(crate) trait Device: Send {
    /// Functions that it knows; all others are refused with exception 01.
    fn functions(&self) -> &[Function];

    /// Holding registers from `first` on; their number was checked before.
    fn read(&mut self, first: u16, count: u16) -> Result<Vec<u16>, Refusal>;

    /// Writes holding registers from `first` on: all of them, or none when it refuses.
    fn write(&mut self, first: u16, values: &[u16]) -> Result<(), Refusal>;

    /// Time passes.
    fn tick(&mut self, elapsed: Duration);

    /// How long a master may be silent; `None` when that does not matter to it.
    fn patience(&self) -> Option<Duration>;

    /// The master has been silent for that long, for the first time since it last spoke.
    fn lost(&mut self);
}

/// Serves the device on loopback until Ctrl-C; port 0 takes a free one. `say` tells people the address. Gives the device back.
///
/// # Errors
/// When the port cannot be had, Ctrl-C cannot be caught, or the address cannot be told.
pub(crate) fn rehearse<D: Device>(device: D, port: u16, say: impl FnOnce(SocketAddr) -> io::Result<()>) -> io::Result<D> {
    let stop = Arc::new(AtomicBool::new(false));
    let heard = Arc::clone(&stop);
    ctrlc::set_handler(move || heard.store(true, Ordering::Relaxed)).map_err(io::Error::other)?;
    let server = Server::bind(IpAddr::V4(Ipv4Addr::LOCALHOST), port)?;
    say(server.address())?;
    server.serve(device, &stop)
}
