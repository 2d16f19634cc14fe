//! Frames byte by byte, limits of the server, and an outside client (pymodbus) against all of it.

use std::io::{BufRead, BufReader, Read, Write};
use std::net::{IpAddr, Ipv4Addr, SocketAddr, TcpStream};
use std::path::Path;
use std::process::{Command, Stdio};
use std::sync::atomic::{AtomicBool, Ordering};
use std::thread;
use std::time::Duration;

use super::frame::{Exception, Registers, Request, Split, request, split};
use super::server::Server;
use super::{Device, Function, Refusal, rehearse};

/// Sixteen registers (invented): 0 to 7 take any value but 0xFFFF, 8 counts losses, 9 holds the milliseconds since the start, 10 refuses to
/// be read now, the others are not there. A lost master sets register 0 to 0.
struct Small {
    registers: [u16; 8],
    losses: u16,
    since_start: Duration,
}

impl Small {
    fn new() -> Self {
        Self { registers: [0; 8], losses: 0, since_start: Duration::ZERO }
    }
}

impl Device for Small {
    fn functions(&self) -> &[Function] {
        &Function::ALL
    }

    fn read(&mut self, first: u16, count: u16) -> Result<Vec<u16>, Refusal> {
        (first..=first.saturating_add(count - 1))
            .map(|address| match address {
                0..=7 => Ok(self.registers[usize::from(address)]),
                8 => Ok(self.losses),
                9 => Ok(u16::try_from(self.since_start.as_millis() % 65_536).unwrap()),
                10 => Err(Refusal::Failure),
                _ => Err(Refusal::Address),
            })
            .collect()
    }

    fn write(&mut self, first: u16, values: &[u16]) -> Result<(), Refusal> {
        let first = usize::from(first);
        let places = self.registers.get_mut(first..first + values.len()).ok_or(Refusal::Address)?;
        if values.contains(&0xFFFF) {
            return Err(Refusal::Value);
        }
        places.copy_from_slice(values);
        Ok(())
    }

    fn tick(&mut self, elapsed: Duration) {
        self.since_start += elapsed;
    }

    fn patience(&self) -> Option<Duration> {
        Some(Duration::from_millis(500))
    }

    fn lost(&mut self) {
        self.losses += 1;
        self.registers[0] = 0;
    }
}

/// Runs the test against a server, then ends the server.
fn served(test: impl FnOnce(SocketAddr)) -> Small {
    let server = Server::bind(IpAddr::V4(Ipv4Addr::LOCALHOST), 0).unwrap();
    let (address, stop) = (server.address(), AtomicBool::new(false));
    thread::scope(|scope| {
        let running = scope.spawn(|| server.serve(Small::new(), &stop).unwrap());
        let _end = End(&stop);
        test(address);
        drop(_end);
        running.join().unwrap()
    })
}

/// Ends the server also when the test fails.
struct End<'s>(&'s AtomicBool);

impl Drop for End<'_> {
    fn drop(&mut self) {
        self.0.store(true, Ordering::Relaxed);
    }
}

fn asked(stream: &mut TcpStream, frame: &[u8], answer: usize) -> Vec<u8> {
    stream.set_read_timeout(Some(Duration::from_secs(5))).unwrap();
    stream.write_all(frame).unwrap();
    let mut bytes = vec![0; answer];
    stream.read_exact(&mut bytes).unwrap();
    bytes
}

#[test]
fn frames_of_the_published_examples() {
    // Modbus application protocol V1.1b3, 6.3, 6.6, 6.12 and 6.17, examples of requests, from memory.
    let all = &Function::ALL;
    let read = Registers { first: 0x006B, count: 3 };
    assert_eq!(request(&[0x03, 0x00, 0x6B, 0x00, 0x03], all), Ok(Request::Read(read)));
    assert_eq!(request(&[0x06, 0x00, 0x01, 0x00, 0x03], all), Ok(Request::WriteOne { address: 1, value: 3 }));
    let many = [0x10, 0x00, 0x01, 0x00, 0x02, 0x04, 0x00, 0x0A, 0x01, 0x02];
    assert_eq!(request(&many, all), Ok(Request::WriteMany { first: 1, values: vec![0x000A, 0x0102] }));
    let both = [0x17, 0x00, 0x03, 0x00, 0x06, 0x00, 0x0E, 0x00, 0x03, 0x06, 0x00, 0xFF, 0x00, 0xFF, 0x00, 0xFF];
    let expected = Request::WriteAndRead { first: 14, values: vec![0x00FF; 3], read: Registers { first: 3, count: 6 } };
    assert_eq!(request(&both, all), Ok(expected));
}

#[test]
fn requests_that_are_wrong_get_their_exception() {
    let cases: [(&[u8], Exception); 16] = [
        (&[], Exception::Function),
        (&[1, 0, 0, 0, 1], Exception::Function),
        (&[0x83, 0, 0, 0, 1], Exception::Function),
        (&[23, 0, 0, 0, 1, 0, 0, 0, 1, 2, 0, 0], Exception::Function),
        (&[3, 0, 0, 0], Exception::Value),
        (&[3, 0, 0, 0, 1, 0], Exception::Value),
        (&[3, 0, 0, 0, 0], Exception::Value),
        (&[3, 0, 0, 0, 126], Exception::Value),
        (&[3, 0xFF, 0xFF, 0, 2], Exception::Address),
        (&[3, 0xFF, 0xFF, 0, 126], Exception::Value),
        (&[6, 0, 0, 0], Exception::Value),
        (&[16, 0, 0, 0, 1, 2, 0], Exception::Value),
        (&[16, 0, 0, 0, 1, 2, 0, 0, 0], Exception::Value),
        (&[16, 0, 0, 0, 2, 2, 0, 0], Exception::Value),
        (&[16, 0, 0, 0, 0, 0], Exception::Value),
        (&[16, 0xFF, 0xFF, 0, 2, 4, 0, 0, 0, 0], Exception::Address),
    ];
    let known = [Function::Read, Function::WriteOne, Function::WriteMany];
    for (pdu, exception) in cases {
        assert_eq!(request(pdu, &known), Err(exception), "{pdu:?}");
    }
    assert_eq!(request(&[3, 0xFF, 0xFF, 0, 1], &known), Ok(Request::Read(Registers { first: 0xFFFF, count: 1 })));
    let too = |read: u8, written: u8| {
        let mut pdu = vec![23, 0, 0, 0, read, 0, 0, 0, written, written * 2];
        pdu.resize(10 + usize::from(written) * 2, 0);
        request(&pdu, &Function::ALL).map(drop)
    };
    assert_eq!([too(125, 121), too(126, 1), too(1, 122)], [Ok(()), Err(Exception::Value), Err(Exception::Value)]);
}

#[test]
fn streams_are_cut_into_frames() {
    let whole = [0, 7, 0, 0, 0, 6, 1, 3, 0, 0, 0, 1];
    for end in 0..whole.len() {
        assert_eq!(split(&whole[..end]), Split::Incomplete, "{end}");
    }
    assert_eq!(split(&whole), Split::Frame { transaction: 7, unit: 1, pdu: &whole[7..], length: 12 });
    for broken in [[0, 1, 0, 1, 0, 6], [0, 1, 0, 0, 0, 0], [0, 1, 0, 0, 0, 1], [0, 1, 0, 0, 0, 255], [0, 1, 0, 0, 0xFF, 0xFF]] {
        assert_eq!(split(&broken), Split::Broken, "{broken:?}");
    }
    let mut longest = vec![0, 1, 0, 0, 0, 254];
    longest.resize(260, 0);
    assert!(matches!(split(&longest), Split::Frame { length: 260, .. }));
}

#[test]
fn only_this_machine_is_served() {
    let refused = Server::bind(IpAddr::V4(Ipv4Addr::UNSPECIFIED), 0).unwrap_err();
    assert!(refused.to_string().contains("loopback address"), "{refused}");
}

#[test]
fn frames_may_come_in_pieces_and_together() {
    served(|address| {
        let mut stream = TcpStream::connect(address).unwrap();
        let write = [0, 1, 0, 0, 0, 6, 1, 6, 0, 2, 0x12, 0x34];
        for byte in &write[..11] {
            stream.write_all(&[*byte]).unwrap();
        }
        assert_eq!(asked(&mut stream, &write[11..], 12), write);
        let read = [0, 2, 0, 0, 0, 6, 9, 3, 0, 2, 0, 1];
        let twice = [read, read].concat();
        let answer = [0, 2, 0, 0, 0, 5, 9, 3, 2, 0x12, 0x34];
        assert_eq!(asked(&mut stream, &twice, 22), [answer, answer].concat());
    });
}

#[test]
fn a_write_is_whole_or_not_at_all() {
    let device = served(|address| {
        let mut stream = TcpStream::connect(address).unwrap();
        // Registers 7 and 8: the second cannot be written.
        let frame = [0, 1, 0, 0, 0, 11, 1, 16, 0, 7, 0, 2, 4, 0, 1, 0, 2];
        assert_eq!(asked(&mut stream, &frame, 9)[7..], [0x90, 2]);
        // What is to be read is not there: nothing is written.
        let frame = [0, 1, 0, 0, 0, 13, 1, 23, 0, 99, 0, 1, 0, 6, 0, 1, 2, 0, 5];
        assert_eq!(asked(&mut stream, &frame, 9)[7..], [0x97, 2]);
    });
    assert_eq!(device.registers, [0; 8]);
}

#[test]
fn one_master_too_many_is_turned_away() {
    served(|address| {
        let read = [0, 2, 0, 0, 0, 6, 9, 3, 0, 2, 0, 1];
        let mut masters: Vec<TcpStream> = (0..64).map(|_| TcpStream::connect(address).unwrap()).collect();
        for master in &mut masters {
            assert_eq!(asked(master, &read, 11).len(), 11);
        }
        let mut more = TcpStream::connect(address).unwrap();
        more.set_read_timeout(Some(Duration::from_secs(5))).unwrap();
        assert!(matches!(more.read(&mut [0; 1]), Ok(0) | Err(_)));
        assert_eq!(asked(&mut masters[0], &read, 11).len(), 11);
    });
}

/// Not a test by itself: the server that the script talks to, in a process of its own so that Ctrl-C can be tried.
#[test]
#[ignore = "runs for the next test alone"]
fn server_for_the_script() {
    #[allow(clippy::disallowed_methods, reason = "a test asks the environment whether it was started by the other test")]
    if std::env::var("CHANGEOUT_REHEARSAL").is_ok() {
        let device = rehearse(Small::new(), 0, |address| {
            println!("Modbus TCP on {address}");
            Ok(())
        })
        .unwrap();
        println!("ended after {} losses", device.losses);
    }
}

#[test]
#[ignore = "needs the Python environment: cargo xtask test"]
#[allow(clippy::disallowed_methods, reason = "a test asks the environment for its interpreter")]
fn an_outside_client_gets_what_the_protocol_says() {
    let python = std::env::var("CHANGEOUT_PYTHON").expect("CHANGEOUT_PYTHON names an interpreter with pymodbus; cargo xtask test sets it");
    let this = std::env::current_exe().unwrap();
    let name = "rehearse::tests::server_for_the_script";
    let mut server = Command::new(this)
        .args(["--ignored", "--exact", name, "--nocapture"])
        .env("CHANGEOUT_REHEARSAL", "1")
        .stdout(Stdio::piped())
        .spawn()
        .expect("the server starts");
    let mut lines = BufReader::new(server.stdout.take().expect("piped")).lines().map(|line| line.expect("text"));
    let said = lines.find(|line| line.contains("Modbus TCP on 127.0.0.1:")).expect("the server says its address");
    let port: String = said.split("127.0.0.1:").nth(1).expect("a port").chars().take_while(char::is_ascii_digit).collect();
    let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/second_opinion/modbus.py");
    let answer = Command::new(python).arg("-B").arg(script).arg(port).output().expect("python starts");
    let interrupted = Command::new("kill").args(["-INT", &server.id().to_string()]).status().expect("kill starts");
    let rest: Vec<String> = lines.collect();
    let ended = server.wait().expect("the server ends");
    let told = String::from_utf8_lossy(&answer.stdout);
    assert!(answer.status.success(), "{told}{}", String::from_utf8_lossy(&answer.stderr));
    assert!(interrupted.success() && ended.success(), "{ended}");
    assert!(rest.iter().any(|line| line.contains("ended after 1 losses")), "{rest:?}");
    print!("{told}");
}
