"""An outside master (pymodbus) against the simulated device of rehearse/tests.rs: python modbus.py PORT. Fails with the first surprise."""

import socket
import struct
import sys
import threading
import time

from pymodbus.client import ModbusTcpClient

PORT = int(sys.argv[1])
PATIENCE_S = 0.5


def client():
    master = ModbusTcpClient("127.0.0.1", port=PORT, timeout=5, retries=0)
    assert master.connect()
    return master


def exception(answer):
    assert answer.isError(), answer
    return answer.exception_code


def raw(frame, wait=3.0):
    """What comes back for these bytes; b"" when the server closes."""
    with socket.create_connection(("127.0.0.1", PORT), timeout=wait) as s:
        s.sendall(frame)
        try:
            return s.recv(1024)
        except ConnectionResetError:
            return b""


def normal(master):
    assert not master.write_register(1, 0x1234, device_id=1).isError()
    assert not master.write_registers(2, [1, 2, 3], device_id=1).isError()
    assert master.read_holding_registers(1, count=4, device_id=1).registers == [0x1234, 1, 2, 3]
    answer = master.readwrite_registers(read_address=1, read_count=2, write_address=2, values=[77], device_id=1)
    assert answer.registers == [0x1234, 77]


def refused(master):
    assert exception(master.read_holding_registers(11, count=1, device_id=1)) == 2
    assert exception(master.read_holding_registers(7, count=9, device_id=1)) == 4  # reaches register 10, which fails
    assert exception(master.read_holding_registers(65535, count=1, device_id=1)) == 2
    assert exception(master.write_register(8, 1, device_id=1)) == 2
    assert exception(master.write_register(0, 0xFFFF, device_id=1)) == 3
    for answer in (
        master.read_coils(0, count=1, device_id=1),
        master.read_discrete_inputs(0, count=1, device_id=1),
        master.read_input_registers(0, count=1, device_id=1),
        master.write_coil(0, True, device_id=1),
        master.mask_write_register(address=0, and_mask=0, or_mask=0, device_id=1),
        master.report_device_id(device_id=1),
    ):
        assert exception(answer) == 1, answer


def broken():
    """Frames that no client library would send."""
    header = lambda length, protocol=0: struct.pack(">HHHB", 9, protocol, length, 1)  # noqa: E731
    assert raw(header(6) + bytes([3, 0, 0, 0, 126]))[7:] == bytes([0x83, 3])
    assert raw(header(6) + bytes([3, 0, 0, 0, 0]))[7:] == bytes([0x83, 3])
    assert raw(header(7) + bytes([3, 0, 0, 0, 1, 0]))[7:] == bytes([0x83, 3])
    assert raw(header(9) + bytes([16, 0, 0, 0, 1, 4, 0, 0]))[7:] == bytes([0x90, 3])
    assert raw(header(2) + bytes([0]))[7:] == bytes([0x80, 1])
    assert raw(header(254) + bytes([3] * 253))[7:] == bytes([0x83, 3])
    assert raw(header(255) + bytes([3] * 254)) == b""
    assert raw(header(0xFFFF) + bytes([3] * 5000)) == b""
    assert raw(header(0)) == b""
    assert raw(header(1)) == b""
    assert raw(header(6, protocol=1) + bytes([3, 0, 0, 0, 1])) == b""
    assert raw(b"GET / HTTP/1.1\r\n\r\n") == b""
    began = time.monotonic()
    assert raw(header(6) + bytes([3, 0]), wait=6.0) == b""  # the rest never comes
    assert 1.5 < time.monotonic() - began < 4.0
    noise = b"".join(bytes([(seed * 37 + n * n * 11) % 256 for n in range(50)]) for seed in range(20))
    for start in range(0, len(noise), 50):
        # Something broken or unfinished: whatever the server does, it goes on.
        with socket.create_connection(("127.0.0.1", PORT), timeout=5) as s:
            s.sendall(noise[start:start + 50])


def many():
    """Fifty masters at once, each with twenty reads and writes."""
    failed, answered = [], []

    def one():
        try:
            master = client()
            for _ in range(20):
                assert master.read_holding_registers(1, count=3, device_id=1).registers[0] == 0x1234
                assert not master.write_register(5, 5, device_id=1).isError()
                answered.append(2)
            master.close()
        except BaseException as problem:  # noqa: BLE001 - told below
            failed.append(problem)

    threads = [threading.Thread(target=one) for _ in range(50)]
    began = time.monotonic()
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(30)
    assert not failed, failed[:3]
    assert sum(answered) == 2000, sum(answered)
    print(f"50 masters, {sum(answered)} requests in {time.monotonic() - began:.2f} s")


def loss():
    """The device takes its loss action when its master has gone, and not before."""
    master = client()
    assert not master.write_register(0, 42, device_id=1).isError()
    losses = master.read_holding_registers(8, count=1, device_id=1).registers[0]
    for _ in range(8):
        time.sleep(PATIENCE_S / 4)
        # A request that is refused does not show that anyone is in charge; one that is carried out does.
        assert master.read_holding_registers(0, count=1, device_id=1).registers == [42]
    last = time.monotonic()
    master.close()
    time.sleep(PATIENCE_S * 0.8)
    watcher = client()
    # Refused requests only, so that watching does not count as a master.
    while time.monotonic() - last < PATIENCE_S * 1.3:
        assert exception(watcher.read_holding_registers(99, count=1, device_id=1)) == 2
        time.sleep(0.02)
    assert watcher.read_holding_registers(0, count=1, device_id=1).registers == [0]
    assert watcher.read_holding_registers(8, count=1, device_id=1).registers == [losses + 1]


master = client()
normal(master)
refused(master)
many()
# From here on somebody has to speak, or the device counts a loss of its own.
speaking = threading.Event()


def speak():
    keeper = client()
    while not speaking.wait(PATIENCE_S / 5):
        keeper.read_holding_registers(0, count=1, device_id=1)
    keeper.close()


keeper = threading.Thread(target=speak)
keeper.start()
broken()
normal(client())
speaking.set()
keeper.join()
loss()
print("reads, writes, refusals, broken frames, many masters and a lost one: as the protocol says")
