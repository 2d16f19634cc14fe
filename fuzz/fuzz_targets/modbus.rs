//! Any bytes as what a master sends: no panic, every frame gets an answer that is a frame itself, and nothing beyond the protocol's limits is
//! asked of a device.
#![no_main]

#[path = "../../crates/changeout/src/rehearse/frame.rs"]
mod frame;

use frame::{Exception, Function, LONGEST, Request, Split, answer, refusal, request, split, wrap};
use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| {
    let mut rest = bytes;
    while let Split::Frame { transaction, unit, pdu, length } = split(rest) {
        assert!((8..=LONGEST).contains(&length) && length <= rest.len() && pdu.len() + 7 == length);
        let answered = match request(pdu, &Function::ALL) {
            Err(exception) => refusal(pdu, exception),
            Ok(asked) => {
                let (first, count) = match &asked {
                    Request::Read(read) => (read.first, read.count),
                    Request::WriteOne { address, .. } => (*address, 1),
                    Request::WriteMany { first, values } => (*first, u16::try_from(values.len()).unwrap()),
                    Request::WriteAndRead { first, values, read } => {
                        assert!((1..=121).contains(&values.len()) && first.checked_add(u16::try_from(values.len() - 1).unwrap()).is_some());
                        (read.first, read.count)
                    }
                };
                assert!((1..=125).contains(&count) && first.checked_add(count - 1).is_some(), "{asked:?}");
                answer(&asked, &vec![0xABCD; usize::from(count)])
            }
        };
        assert_eq!(refusal(pdu, Exception::Failure)[1], 4);
        let framed = wrap(transaction, unit, &answered);
        let expected = Split::Frame { transaction, unit, pdu: &answered, length: framed.len() };
        assert_eq!(split(&framed), expected);
        rest = &rest[length..];
    }
});
