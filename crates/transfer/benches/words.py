"""The loop of benches/words.rs in plain Python: all 65,536 values of a word through a line, with the greatest error."""

import time

ROUNDS = 5
OLD = 60.0 / 32767.0
NUM, DEN = 6000, 32767


def line(count: int) -> int:
    product = count * NUM
    half = DEN // 2
    return -((-product + half) // DEN) if product < 0 else (product + half) // DEN


def main() -> None:
    began = time.perf_counter()
    worst = 0.0
    for _ in range(ROUNDS):
        for count in range(65536):
            worst = max(worst, abs(line(count) * 0.01 - count * OLD))
    assert worst <= 0.005001, worst
    print(f"CHECKS_PER_SECOND {ROUNDS * 65536 / (time.perf_counter() - began):.0f}")


main()
