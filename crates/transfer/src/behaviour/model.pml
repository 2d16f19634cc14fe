/* Both units under the same events, for the model checker spin. What stands above this line was printed for one pair of units and one
   wiring; everything below is the same for all. It was written by hand from the descriptions of the habits, beside the program that it
   checks and not from it: one step for each event, everything settled before the next. */

#define STILL 0
#define DRIVEN 1
#define RAMPING 2
#define BRAKING 3
#define COASTING 4

bit powered[2]; byte drive[2]; bit fault[2]; bit lock[2]; bit latch[2]; bit relay[2]; bit reverse[2]; bit netlost[2]; bit reflost[2];
bit resetb[2]; bit runb[2]; bit jolt[2]; bit dropped[2]; bit raised[2]; bit jogs[2];

#ifdef RULES
/* An emergency stop that still waits for a deliberate start: only the rules ask for it. */
bit armed;
#endif

/* None of these is part of a state: they carry values inside one step. */
hidden byte round; hidden byte sup; hidden byte pw; hidden byte stopc; hidden byte rf; hidden byte rr; hidden byte wf; hidden byte wr;
hidden byte en; hidden byte tq; hidden byte go; hidden byte loss; hidden byte cause_to_trip; hidden byte halts; hidden byte was; hidden byte k; hidden byte passes; hidden byte ev;

#define BYNET(i) (W_START(i) == 4 && !in_hand)
#define PILOT(i) (in_pilot && (W_PILOT(i) == 1 || sup))
#define EM_IN_CHAIN(i) (W_EMERGENCY(i) == 2 || W_EMERGENCY(i) == 5 || W_EMERGENCY(i) == 6)
#define MODES(i) (W_START(i) == 2 || W_START(i) == 4)
#define PERM_IN_CHAIN(i) (W_PERMISSIVE(i) == 1 || (W_PERMISSIVE(i) == 2 && !MODES(i)))
#define CHAIN(i) (PILOT(i) && !(EM_IN_CHAIN(i) && in_emergency) && !(PERM_IN_CHAIN(i) && !in_permissive))
#define AUTOCHAIN(i) (W_PERMISSIVE(i) != 2 || in_permissive)
#define NET_STOPC(i) (CHAIN(i) && !(in_stop && (!BYNET(i) || H_LOCAL_STOP(i) == 0)) && !(in_stop_bit && (BYNET(i) || H_NETWORK_STOP(i) == 0)))
#define STOPC(i) ((W_START(i) == 4 && NET_STOPC(i)) || (W_START(i) != 4 && CHAIN(i) && !in_stop))
#define RUNC(i) (powered[i] && (drive[i] == DRIVEN || ((drive[i] == RAMPING || drive[i] == BRAKING) && H_RUN_CONTACT(i) == 0)))
#define LATCHES(i) ((W_START(i) == 1 && W_SEAL(i) == 0) || (W_START(i) == 4 && (in_hand || H_NETWORK_START(i) == 2)))
#define ENABLED(i) ((!W_ENABLE(i) || (in_enable && (W_START(i) == 4 || PILOT(i)))) && !(W_ISOLATOR(i) == 1 && in_output_open) && !(in_emergency && W_EMERGENCY(i) == 3))
#define TORQUE(i) (!(in_emergency && W_EMERGENCY(i) == 4) && !(dropped[i] && W_EMERGENCY(i) == 5))
#define DELAYED(i) (in_emergency && (W_EMERGENCY(i) == 2 || W_EMERGENCY(i) == 5))
#define ENERGISED(i) (drive[i] == DRIVEN || drive[i] == RAMPING || drive[i] == BRAKING)
#define WAITS_NET(i) (H_NETWORK_START(i) != 0)
#define LOSS_OF(h) ((h) == 1 -> RAMPING : ((h) == 2 -> COASTING : 0))

/* What is asked of the unit: rf forward, rr in the second direction. */
inline ask(i) {
  rf = 0; rr = 0;
  stopc = STOPC(i);
  if
  :: W_START(i) == 0 || W_START(i) == 3 -> rf = stopc && in_start; rr = stopc && in_reverse
  :: W_START(i) == 1 && W_SEAL(i) == 0 -> rf = stopc && in_start
  :: W_START(i) == 1 && W_SEAL(i) == 1 -> rf = stopc && (in_start || RUNC(i))
  :: W_START(i) == 1 && W_SEAL(i) == 2 -> rf = stopc && relay[i]
  :: W_START(i) == 2 -> rf = stopc && (in_hand || (in_auto && in_auto_contact && AUTOCHAIN(i)))
  :: W_START(i) == 4 && in_hand -> rf = stopc && in_start
  :: W_START(i) == 4 && !in_hand && H_NETWORK_START(i) == 2 -> rf = stopc && in_run_bit && !runb[i] && AUTOCHAIN(i)
  :: W_START(i) == 4 && !in_hand && H_NETWORK_START(i) != 2 -> rf = stopc && in_run_bit && AUTOCHAIN(i)
  fi;
  if
  :: (W_START(i) == 1 || W_START(i) == 2 || W_START(i) == 4) && in_reverse -> rr = rf; rf = 0
  :: else -> skip
  fi
}

inline trip(i) {
  fault[i] = 1; latch[i] = 0; jogs[i] = 0;
  if :: drive[i] != STILL -> drive[i] = COASTING :: else -> skip fi
}

inline supply_of(i) {
  pw = sup && !(in_emergency && W_EMERGENCY(i) == 1) && !(dropped[i] && W_EMERGENCY(i) == 2);
  if
  :: pw && !powered[i] ->
     powered[i] = 1; resetb[i] = in_reset; runb[i] = in_run_bit;
     ask(i);
     lock[i] = (rf || rr) && ((BYNET(i) && WAITS_NET(i)) || (!BYNET(i) && H_POWER_UP(i) == 1))
  :: !pw && powered[i] ->
     powered[i] = 0;
     if :: drive[i] != STILL -> drive[i] = COASTING :: else -> skip fi;
     fault[i] = 0; lock[i] = 0; latch[i] = 0; netlost[i] = 0; reflost[i] = 0; resetb[i] = 0; runb[i] = 0; jolt[i] = 0; jogs[i] = 0;
     if :: H_SPEED_MEMORY(i) != 0 -> raised[i] = 0 :: else -> skip fi
  :: else -> skip
  fi
}

inline losses(i) {
  loss = 0;
  if :: netlost[i] -> loss = LOSS_OF(H_NETWORK_LOST(i)) :: else -> skip fi;
  if :: loss == 0 && reflost[i] -> loss = LOSS_OF(H_REFERENCE_LOST(i)) :: else -> skip fi;
  if :: loss == 0 && BYNET(i) && in_master_stopped && H_MASTER_STOPPED(i) == 2 -> loss = RAMPING :: else -> skip fi
}

inline watch(i) {
  en = ENABLED(i); tq = TORQUE(i);
  cause_to_trip = in_cause || (ENERGISED(i) && (
      (!tq && H_SAFE_OFF(i) == 1) || (!en && H_ENABLE_LOST(i) == 2)
      || (W_ISOLATOR(i) == 2 && in_output_open && H_OUTPUT_OPENED(i) == 0)
      || (W_BRAKE(i) && !in_brake_answers && H_BRAKE_ANSWER(i) == 1)));
  if :: cause_to_trip && !fault[i] -> trip(i) :: else -> skip fi;
  if :: !en || !tq -> latch[i] = 0; jogs[i] = 0 :: else -> skip fi;
  ask(i);
  if
  :: (rf || rr) && BYNET(i) && WAITS_NET(i) && (!en || !tq) -> lock[i] = 1
  :: (rf || rr) && !BYNET(i) && ((!en && H_AFTER_ENABLE(i) == 1) || (!tq && H_AFTER_SAFE_OFF(i) == 1)) -> lock[i] = 1
  :: else -> skip
  fi;
  if
  :: netlost[i] && !in_silent && !in_master_stopped ->
     netlost[i] = 0;
     if :: (rf || rr) && WAITS_NET(i) -> lock[i] = 1 :: else -> skip fi
  :: else -> skip
  fi;
  if :: !in_reference_lost -> reflost[i] = 0 :: else -> skip fi
}

inline clear(i) {
  was = resetb[i];
  resetb[i] = resetb[i] || in_reset;
  if
  :: in_reset && (H_RESET(i) == 0 || !was) && fault[i] && !in_cause ->
     ask(i);
     if
     :: H_AFTER_RESET(i) == 2 && (rf || rr) -> skip
     :: else -> fault[i] = 0; lock[i] = (rf || rr) && (H_AFTER_RESET(i) == 1 || (BYNET(i) && WAITS_NET(i)))
     fi
  :: else -> skip
  fi
}

inline keep(i) {
  ask(i);
  if :: !(rf || rr) -> lock[i] = 0 :: else -> skip fi;
  if :: BYNET(i) && in_run_bit && !stopc && WAITS_NET(i) -> lock[i] = 1 :: else -> skip fi;
  if
  :: LATCHES(i) ->
     losses(i);
     halts = loss != 0 || !stopc;
     latch[i] = !fault[i] && ENABLED(i) && TORQUE(i) && !halts && (latch[i] || ((rf || rr) && !lock[i]))
  :: else -> skip
  fi
}

inline want(i) {
  ask(i);
  wf = 0; wr = 0;
  if
  :: LATCHES(i) && in_reverse -> wr = latch[i]
  :: LATCHES(i) && !in_reverse -> wf = latch[i]
  :: !LATCHES(i) && !lock[i] && rf && rr -> wf = H_BOTH_STARTS(i) == 1
  :: !LATCHES(i) && !lock[i] && !(rf && rr) -> wf = rf; wr = rr
  :: else -> skip
  fi
}

#define STOP_AS(i) (H_STOP(i) == 0 -> RAMPING : (H_STOP(i) == 1 -> COASTING : BRAKING))

inline give(i) {
  en = ENABLED(i); tq = TORQUE(i);
  losses(i);
  ask(i);
  jogs[i] = !fault[i] && en && tq && in_jog && stopc && !BYNET(i) && (jogs[i] || drive[i] == STILL || H_JOG(i) == 1);
  want(i);
  go = !fault[i] && en && tq && loss == 0 && (wf || wr || jogs[i]);
  if
  :: go && !jogs[i] && drive[i] == DRIVEN && wr != reverse[i] && H_REVERSAL(i) == 1 ->
     lock[i] = 1; latch[i] = 0; drive[i] = STOP_AS(i)
  :: else ->
     was = drive[i];
     if
     :: drive[i] == DRIVEN && !go && (!tq || fault[i]) -> drive[i] = COASTING
     :: drive[i] == DRIVEN && !go && tq && !fault[i] && !en -> drive[i] = (H_ENABLE_LOST(i) == 1 -> RAMPING : COASTING)
     :: drive[i] == DRIVEN && !go && tq && !fault[i] && en && loss != 0 -> drive[i] = loss
     :: drive[i] == DRIVEN && !go && tq && !fault[i] && en && loss == 0 -> drive[i] = STOP_AS(i)
     :: (drive[i] == RAMPING || drive[i] == BRAKING) && (!tq || fault[i]) -> drive[i] = COASTING
     :: (drive[i] == RAMPING || drive[i] == BRAKING) && tq && !fault[i] && !en && H_ENABLE_LOST(i) != 1 -> drive[i] = COASTING
     :: drive[i] == COASTING && go && W_SPINNING(i) && H_SPINNING(i) == 1 -> trip(i)
     :: drive[i] == COASTING && go && W_SPINNING(i) && H_SPINNING(i) != 1 -> drive[i] = DRIVEN; reverse[i] = wr; jolt[i] = H_SPINNING(i) == 2
     :: else -> if :: go -> drive[i] = DRIVEN :: else -> skip fi
     fi;
     if
     :: was == COASTING && go && W_SPINNING(i) -> skip
     :: else ->
        if :: go -> reverse[i] = wr :: !go && drive[i] == STILL -> reverse[i] = 0 :: else -> skip fi;
        if :: drive[i] != DRIVEN && H_SPEED_MEMORY(i) == 2 -> raised[i] = 0 :: else -> skip fi
     fi
  fi
}

inline once(i) {
  relay[i] = W_START(i) == 1 && W_SEAL(i) == 2 && STOPC(i) && (in_start || relay[i]);
  supply_of(i);
  if :: !DELAYED(i) -> dropped[i] = 0 :: else -> skip fi;
  if :: powered[i] -> watch(i); clear(i); keep(i); give(i) :: else -> skip fi
}

/* Once without supply where a dip killed the unit, and once with what stands. */
inline settle(i) {
  do
  :: passes > 0 ->
     round = 0;
     do
     :: round < 6 -> once(i); round++
     :: else -> break
     od;
     sup = in_supply; passes--
  :: else -> break
  od
}

/* A state without what nothing asks for any more: the lock of a unit that has a fault or no power, the direction of a motor that nothing
   drives. With PAST all of it stays, so that it shows whether anything asks for it after all. */
#ifdef PAST
#define LOCK_AFTER(i) lock[i]
#define REVERSE_AFTER(i) reverse[i]
#else
#define LOCK_AFTER(i) (lock[i] && powered[i] && !fault[i])
#define REVERSE_AFTER(i) (reverse[i] && ENERGISED(i))
#endif
inline after(i) { resetb[i] = in_reset; runb[i] = in_run_bit; lock[i] = LOCK_AFTER(i); reverse[i] = REVERSE_AFTER(i) }

inline hand_over(i) {
  if
  :: W_START(i) == 4 -> latch[i] = 0; jogs[i] = 0; netlost[i] = 0; ask(i); lock[i] = (rf || rr) && H_MODE_CHANGE(i) == 1
  :: else -> skip
  fi
}

inline dip(i, class) {
  if
  :: (D_DIES(i) >> class) & 1 -> sup = 0; passes = 2
  :: else ->
     if :: W_PILOT(i) == 0 -> relay[i] = 0 :: else -> skip fi;
     if
     :: powered[i] && ENERGISED(i) && H_DIP(i) == 1 && H_RUN_CONTACT(i) == 0 -> drive[i] = COASTING
     :: powered[i] && ENERGISED(i) && H_DIP(i) == 2 -> drive[i] = COASTING; latch[i] = 0; jogs[i] = 0; ask(i); lock[i] = rf || rr
     :: powered[i] && ENERGISED(i) && H_DIP(i) == 3 -> trip(i)
     :: else -> skip
     fi
  fi
}

inline time_passes(i) {
  if :: drive[i] == RAMPING || drive[i] == BRAKING || drive[i] == COASTING -> drive[i] = STILL :: else -> skip fi;
  jolt[i] = 0;
  dropped[i] = DELAYED(i);
  if
  :: powered[i] ->
     if :: fault[i] && !in_cause && H_AUTO_RESET(i) == 1 -> fault[i] = 0; lock[i] = 0 :: else -> skip fi;
     if
     :: BYNET(i) && (in_silent || (in_master_stopped && H_MASTER_STOPPED(i) == 0)) && !netlost[i] ->
        netlost[i] = 1;
        if :: H_NETWORK_LOST(i) == 0 -> trip(i) :: else -> skip fi
     :: else -> skip
     fi;
     if
     :: in_reference_lost && !reflost[i] ->
        reflost[i] = 1;
        if :: H_REFERENCE_LOST(i) == 0 -> trip(i) :: else -> skip fi
     :: else -> skip
     fi
  :: else -> skip
  fi
}

inline raise(i) { if :: powered[i] && drive[i] == DRIVEN -> raised[i] = 1 :: else -> skip fi }
