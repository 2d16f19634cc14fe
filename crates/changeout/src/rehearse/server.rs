//! The server: a thread for each master, one device behind a lock, everything bounded.

use std::io::{self, ErrorKind, Read, Write};
use std::net::{IpAddr, SocketAddr, TcpListener, TcpStream};
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::sync::{Mutex, MutexGuard, PoisonError};
use std::thread;
use std::time::{Duration, Instant};

use super::frame::{self, Exception, LONGEST, Registers, Request, Split};
use super::{Device, Refusal};

/// Masters at once; a further one is turned away at once.
const MOST_MASTERS: usize = 64;
/// How often time passes for the device, and new masters are let in.
const TICK: Duration = Duration::from_millis(5);
/// How long a thread waits for bytes before it looks whether to end.
const POLL: Duration = Duration::from_millis(100);
/// How long the rest of a frame may take, and an answer to be taken.
const PATIENCE: Duration = Duration::from_secs(2);
/// How long a master may be connected without a frame.
const IDLE: Duration = Duration::from_secs(120);

/// A server that is bound to an address of this machine.
#[derive(Debug)]
pub(super) struct Server {
    listener: TcpListener,
    address: SocketAddr,
}

/// The device and when it was last spoken to.
struct Shared<D> {
    device: D,
    spoken: Option<Instant>,
}

impl Server {
    /// Takes a port of a loopback address; 0 takes a free one.
    pub(super) fn bind(address: IpAddr, port: u16) -> io::Result<Self> {
        if !address.is_loopback() {
            let why = format!("{address} is not this machine alone: a loopback address such as 127.0.0.1 expected");
            return Err(io::Error::new(ErrorKind::InvalidInput, why));
        }
        let listener = TcpListener::bind((address, port))?;
        listener.set_nonblocking(true)?;
        Ok(Self { address: listener.local_addr()?, listener })
    }

    pub(super) const fn address(&self) -> SocketAddr {
        self.address
    }

    /// Serves until `stop`, and gives the device back when every thread has ended.
    pub(super) fn serve<D: Device>(self, device: D, stop: &AtomicBool) -> io::Result<D> {
        let shared = Mutex::new(Shared { device, spoken: None });
        let masters = AtomicUsize::new(0);
        let mut failure = None;
        thread::scope(|scope| {
            let mut last = now();
            while !stop.load(Ordering::Relaxed) {
                match self.listener.accept() {
                    Ok((stream, _)) if masters.fetch_add(1, Ordering::Relaxed) < MOST_MASTERS => {
                        let (shared, masters) = (&shared, &masters);
                        scope.spawn(move || {
                            // What goes wrong with one master's connection ends that connection only.
                            let _ = attend(&stream, shared, stop);
                            masters.fetch_sub(1, Ordering::Relaxed);
                        });
                        continue;
                    }
                    // Turned away: the stream is closed as it is dropped.
                    Ok(_) => {
                        masters.fetch_sub(1, Ordering::Relaxed);
                    }
                    Err(e) if e.kind() == ErrorKind::WouldBlock => thread::sleep(TICK),
                    // The master went away before it was let in.
                    Err(e) if matches!(e.kind(), ErrorKind::ConnectionAborted | ErrorKind::ConnectionReset | ErrorKind::Interrupted) => {}
                    Err(e) => {
                        failure = Some(e);
                        stop.store(true, Ordering::Relaxed);
                    }
                }
                let this = now();
                pass(&shared, this - last, this);
                last = this;
            }
        });
        failure.map_or_else(|| Ok(shared.into_inner().unwrap_or_else(PoisonError::into_inner).device), Err)
    }
}

#[expect(clippy::disallowed_methods, reason = "the time that passes for a simulated device is real time; no paper shows it")]
fn now() -> Instant {
    Instant::now()
}

/// The device, even when a thread that held it has panicked: the others go on.
fn locked<D>(shared: &Mutex<Shared<D>>) -> MutexGuard<'_, Shared<D>> {
    shared.lock().unwrap_or_else(PoisonError::into_inner)
}

/// Time passes for the device; a master that has been silent for too long is lost.
fn pass<D: Device>(shared: &Mutex<Shared<D>>, elapsed: Duration, this: Instant) {
    let mut shared = locked(shared);
    shared.device.tick(elapsed);
    let silent = shared.spoken.map(|spoken| this.saturating_duration_since(spoken));
    if let (Some(silent), Some(patience)) = (silent, shared.device.patience())
        && silent >= patience
    {
        shared.spoken = None;
        shared.device.lost();
    }
}

/// Answers one master until it goes, breaks the protocol or the server ends.
fn attend<D: Device>(mut stream: &TcpStream, shared: &Mutex<Shared<D>>, stop: &AtomicBool) -> io::Result<()> {
    stream.set_nonblocking(false)?;
    stream.set_nodelay(true)?;
    stream.set_read_timeout(Some(POLL))?;
    stream.set_write_timeout(Some(PATIENCE))?;
    let mut held: Vec<u8> = Vec::with_capacity(LONGEST);
    let mut chunk = [0_u8; LONGEST];
    let mut since = now();
    while !stop.load(Ordering::Relaxed) {
        let got = match stream.read(&mut chunk) {
            Ok(0) => return Ok(()),
            Ok(got) => got,
            Err(e) if matches!(e.kind(), ErrorKind::WouldBlock | ErrorKind::TimedOut | ErrorKind::Interrupted) => 0,
            Err(e) => return Err(e),
        };
        if held.is_empty() && got > 0 {
            since = now();
        }
        held.extend(chunk.get(..got).unwrap_or_default());
        let mut used = 0;
        loop {
            match frame::split(held.get(used..).unwrap_or_default()) {
                Split::Incomplete => break,
                Split::Broken => return Ok(()),
                Split::Frame { transaction, unit, pdu, length } => {
                    let answer = frame::wrap(transaction, unit, &carried_out(pdu, shared));
                    stream.write_all(&answer)?;
                    used += length;
                    since = now();
                }
            }
        }
        held.drain(..used);
        let limit = if held.is_empty() { IDLE } else { PATIENCE };
        if since.elapsed() > limit {
            return Ok(());
        }
    }
    Ok(())
}

/// What stands in the registers; a device that gives more or fewer than it was asked for has failed.
fn registers<D: Device>(device: &mut D, asked: Registers) -> Result<Vec<u16>, Refusal> {
    device
        .read(asked.first, asked.count)
        .and_then(|read| if read.len() == usize::from(asked.count) { Ok(read) } else { Err(Refusal::Failure) })
}

/// Carries a request out; function and data of the answer.
fn carried_out<D: Device>(pdu: &[u8], shared: &Mutex<Shared<D>>) -> Vec<u8> {
    let mut shared = locked(shared);
    let request = match frame::request(pdu, shared.device.functions()) {
        Ok(request) => request,
        Err(exception) => return frame::refusal(pdu, exception),
    };
    let done = match &request {
        Request::Read(read) => registers(&mut shared.device, *read),
        Request::WriteOne { address, value } => shared.device.write(*address, &[*value]).map(|()| Vec::new()),
        Request::WriteMany { first, values } => shared.device.write(*first, values).map(|()| Vec::new()),
        Request::WriteAndRead { first, values, read } => {
            // What cannot be read refuses the whole request before anything is written; what is read is what stands there afterwards.
            registers(&mut shared.device, *read).and_then(|_| {
                shared.device.write(*first, values)?;
                registers(&mut shared.device, *read)
            })
        }
    };
    match done {
        Ok(read) => {
            // Only a request that was carried out shows that the master is still in charge.
            shared.spoken = Some(now());
            frame::answer(&request, &read)
        }
        Err(refused) => frame::refusal(
            pdu,
            match refused {
                Refusal::Address => Exception::Address,
                Refusal::Value => Exception::Value,
                Refusal::Failure => Exception::Failure,
            },
        ),
    }
}
