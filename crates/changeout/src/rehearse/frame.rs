//! Frames of Modbus TCP: bytes from outside into requests, answers into bytes. Modbus application protocol V1.1b3 and messaging on TCP/IP
//! V1.0b, both from memory.

/// Most bytes of a frame: 7 of the header, 253 of function and data.
pub(crate) const LONGEST: usize = 260;
/// Bytes of the header up to and with its length field.
const HEADER: usize = 6;
/// Registers that one request may read.
const MOST_READ: u16 = 125;
/// Registers that one request may write.
const MOST_WRITTEN: u16 = 123;
/// Registers that a request that also reads may write.
const MOST_WRITTEN_TOO: u16 = 121;

/// A function of the protocol.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Function {
    /// 3: read holding registers.
    Read,
    /// 6: write one register.
    WriteOne,
    /// 16: write registers.
    WriteMany,
    /// 23: write registers, then read others.
    WriteAndRead,
}

impl Function {
    pub(crate) const ALL: [Self; 4] = [Self::Read, Self::WriteOne, Self::WriteMany, Self::WriteAndRead];

    /// Its number on the wire.
    pub(crate) const fn code(self) -> u8 {
        match self {
            Self::Read => 3,
            Self::WriteOne => 6,
            Self::WriteMany => 16,
            Self::WriteAndRead => 23,
        }
    }
}

/// Start of what came in.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Split<'b> {
    /// More has to come.
    Incomplete,
    /// A whole frame, and how many bytes it takes.
    Frame { transaction: u16, unit: u8, pdu: &'b [u8], length: usize },
    /// No frame of this protocol: nothing after it can be trusted, so the connection ends.
    Broken,
}

fn word(bytes: &[u8], at: usize) -> Option<u16> {
    Some(u16::from_be_bytes([*bytes.get(at)?, *bytes.get(at + 1)?]))
}

/// Cuts the first frame off.
pub(crate) fn split(bytes: &[u8]) -> Split<'_> {
    // As early as it can be told: a length that cannot be is not waited for.
    if word(bytes, 2).is_some_and(|protocol| protocol != 0) {
        return Split::Broken;
    }
    let (Some(transaction), Some(length)) = (word(bytes, 0), word(bytes, 4)) else { return Split::Incomplete };
    let end = HEADER + usize::from(length);
    // The unit and the function at least.
    if length < 2 || end > LONGEST {
        return Split::Broken;
    }
    match (bytes.get(HEADER), bytes.get(HEADER + 1..end)) {
        (Some(unit), Some(pdu)) => Split::Frame { transaction, unit: *unit, pdu, length: end },
        _ => Split::Incomplete,
    }
}

/// Registers in a row.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Registers {
    pub(crate) first: u16,
    pub(crate) count: u16,
}

/// What a master asks for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Request {
    Read(Registers),
    WriteOne { address: u16, value: u16 },
    WriteMany { first: u16, values: Vec<u16> },
    WriteAndRead { first: u16, values: Vec<u16>, read: Registers },
}

/// Exception codes of the protocol.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Exception {
    Function = 1,
    Address = 2,
    Value = 3,
    Failure = 4,
}

/// Reads function and data.
///
/// # Errors
/// 01 for a function that is not among `known`, 03 for a wrong number of registers or bytes, 02 for registers beyond the last address.
pub(crate) fn request(pdu: &[u8], known: &[Function]) -> Result<Request, Exception> {
    let code = pdu.first().copied().unwrap_or_default();
    let function = Function::ALL.into_iter().find(|f| f.code() == code).filter(|f| known.contains(f)).ok_or(Exception::Function)?;
    let field = |at| word(pdu, at).ok_or(Exception::Value);
    let exact = |length: usize| if pdu.len() == length { Ok(()) } else { Err(Exception::Value) };
    let registers = |at, most| {
        let registers = Registers { first: field(at)?, count: field(at + 2)? };
        if registers.count == 0 || registers.count > most {
            return Err(Exception::Value);
        }
        // The last register's address still has to fit into 16 bits.
        if registers.first.checked_add(registers.count - 1).is_none() {
            return Err(Exception::Address);
        }
        Ok(registers)
    };
    // The number of bytes at `at`, and the words behind it to the end.
    let values = |at: usize, count: u16| {
        let bytes = pdu.get(at + 1..).unwrap_or_default();
        let said = pdu.get(at).copied().map(usize::from);
        if said != Some(usize::from(count) * 2) || said != Some(bytes.len()) {
            return Err(Exception::Value);
        }
        Ok(bytes.chunks_exact(2).filter_map(|pair| word(pair, 0)).collect::<Vec<u16>>())
    };
    match function {
        Function::Read => {
            exact(5)?;
            Ok(Request::Read(registers(1, MOST_READ)?))
        }
        Function::WriteOne => {
            exact(5)?;
            Ok(Request::WriteOne { address: field(1)?, value: field(3)? })
        }
        Function::WriteMany => {
            // Numbers are looked at before addresses.
            let values = values(5, field(3)?)?;
            let written = registers(1, MOST_WRITTEN)?;
            Ok(Request::WriteMany { first: written.first, values })
        }
        Function::WriteAndRead => {
            let values = values(9, field(7)?)?;
            let (read, written) = (registers(1, MOST_READ), registers(5, MOST_WRITTEN_TOO));
            if read == Err(Exception::Value) || written == Err(Exception::Value) {
                return Err(Exception::Value);
            }
            Ok(Request::WriteAndRead { first: written?.first, values, read: read? })
        }
    }
}

/// Function and data of an answer.
pub(crate) fn answer(request: &Request, read: &[u16]) -> Vec<u8> {
    let with = |function: Function, words: [u16; 2]| {
        let mut pdu = vec![function.code()];
        pdu.extend(words.into_iter().flat_map(u16::to_be_bytes));
        pdu
    };
    let words = |function: Function| {
        let mut pdu = vec![function.code(), u8::try_from(read.len() * 2).unwrap_or(u8::MAX)];
        pdu.extend(read.iter().copied().flat_map(u16::to_be_bytes));
        pdu
    };
    match request {
        Request::Read(_) => words(Function::Read),
        Request::WriteAndRead { .. } => words(Function::WriteAndRead),
        Request::WriteOne { address, value } => with(Function::WriteOne, [*address, *value]),
        Request::WriteMany { first, values } => with(Function::WriteMany, [*first, u16::try_from(values.len()).unwrap_or(u16::MAX)]),
    }
}

/// Function and data of a refusal.
pub(crate) fn refusal(pdu: &[u8], exception: Exception) -> Vec<u8> {
    vec![pdu.first().copied().unwrap_or_default() | 0x80, exception as u8]
}

/// The frame around it.
pub(crate) fn wrap(transaction: u16, unit: u8, pdu: &[u8]) -> Vec<u8> {
    let mut frame = Vec::with_capacity(HEADER + 1 + pdu.len());
    frame.extend(transaction.to_be_bytes());
    frame.extend([0, 0]);
    frame.extend(u16::try_from(pdu.len() + 1).unwrap_or(u16::MAX).to_be_bytes());
    frame.push(unit);
    frame.extend(pdu);
    frame
}
