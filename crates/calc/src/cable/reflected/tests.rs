//! Properties of the wave at the motor.
