/* What can be seen of both, where it comes apart, and which rules either of them breaks. */
struct seen { int motion, reverse, speed, jolt, released, run, fault, ready, waits, tripped; };
static struct seen before_[2], after_[2];
static char told_[65536][48];
static int told_count_;

static int stopc_(int i) {
  int pilot = now.in_pilot && (W_PILOT(i) == 1 || now.in_supply);
  int chained = W_EMERGENCY(i) == 2 || W_EMERGENCY(i) == 5 || W_EMERGENCY(i) == 6;
  int modes = W_START(i) == 2 || W_START(i) == 4;
  int permits = W_PERMISSIVE(i) == 1 || (W_PERMISSIVE(i) == 2 && !modes);
  int chain = pilot && !(chained && now.in_emergency) && !(permits && !now.in_permissive);
  int bynet = W_START(i) == 4 && !now.in_hand;
  if (W_START(i) != 4) return chain && !now.in_stop;
  return chain && !(now.in_stop && (!bynet || H_LOCAL_STOP(i) == 0)) && !(now.in_stop_bit && (bynet || H_NETWORK_STOP(i) == 0));
}

static int runc_(int i) {
  int d = now.drive[i];
  return now.powered[i] && (d == 1 || ((d == 2 || d == 3) && H_RUN_CONTACT(i) == 0));
}

static int asked_(int i) {
  int c = stopc_(i), automatic = W_PERMISSIVE(i) != 2 || now.in_permissive;
  if (!c) return 0;
  switch (W_START(i)) {
    case 0: case 3: return now.in_start || now.in_reverse;
    case 1: return W_SEAL(i) == 0 ? now.in_start : W_SEAL(i) == 1 ? now.in_start || runc_(i) : now.relay[i];
    case 2: return now.in_hand || (now.in_auto && now.in_auto_contact && automatic);
  }
  if (now.in_hand) return now.in_start;
  return now.in_run_bit && automatic && !(H_NETWORK_START(i) == 2 && now.runb[i]);
}

static struct seen see_(int i) {
  struct seen s = {0};
  int d = now.drive[i], energised = d == 1 || d == 2 || d == 3;
  int pilot = now.in_pilot && (W_PILOT(i) == 1 || now.in_supply);
  int en = (!W_ENABLE(i) || (now.in_enable && (W_START(i) == 4 || pilot))) && !(W_ISOLATOR(i) == 1 && now.in_output_open)
      && !(now.in_emergency && W_EMERGENCY(i) == 3);
  int tq = !(now.in_emergency && W_EMERGENCY(i) == 4) && !(now.dropped[i] && W_EMERGENCY(i) == 5);
  int bynet = W_START(i) == 4 && !now.in_hand;
  int healthy = now.powered[i] && !now.fault[i];
  s.motion = W_ISOLATOR(i) != 0 && now.in_output_open && energised ? 4 : d;
  s.reverse = s.motion >= 1 && s.motion <= 3 && now.reverse[i];
  if (s.motion == 1) {
    if (now.jogs[i]) s.speed = 3;
    else if (now.netlost[i]) s.speed = H_NETWORK_LOST(i) == 4 ? 2 : 1;
    else if (now.reflost[i]) s.speed = H_REFERENCE_LOST(i) == 4 ? 2 : 1;
    else if (W_START(i) == 4 && (now.in_silent || now.in_master_stopped)) s.speed = 1;
    else if (W_REFERENCE(i) == 3) s.speed = now.raised[i] ? 4 : 5;
    s.jolt = now.jolt[i];
  }
  (void)bynet;
  s.released = W_BRAKE(i) && energised;
  s.run = runc_(i);
  s.fault = H_FAULT_CONTACT(i) == 1 ? now.powered[i] && now.fault[i] : healthy;
  s.ready = healthy && ((en && tq) || H_READY_CONTACT(i) == 0);
  s.waits = healthy && now.lock[i] && asked_(i);
  s.tripped = now.fault[i];
  return s;
}

static void note_(const char *line) {
  int k;
  for (k = 0; k < told_count_; k++) if (!strcmp(told_[k], line)) return;
  if (told_count_ < 65536) strcpy(told_[told_count_++], line);
  printf("DIFFERENCE %s\n", line);
}

static void first_(void) { before_[0] = see_(0); before_[1] = see_(1); }

/* 0: moves from still, 1: keeps moving, 2: moves otherwise, 9: the same. */
static int bad_(int old, int new, int ran) {
  if (old == new) return 9;
  if (new == 1) return ran ? 1 : 0;
  return 2;
}

#ifdef RULES
static char broken_[2][7];

static void rule_(int i, int number, const char *name, int asked, int breaks) {
  if (!asked || !breaks || broken_[i][number]) return;
  broken_[i][number] = 1;
  printf("RULE %d %s\n", i, name);
}

/* A command that was not there before; a button that is held while the emergency stop is released is a command as well. */
static int commanded_(const char *event) {
  int start = W_START(0);
  if (!strcmp(event, "start") && now.in_start) return 1;
  if (!strcmp(event, "jog") && now.in_jog) return 1;
  if (!strcmp(event, "run_bit") && now.in_run_bit) return 1;
  if (!strcmp(event, "auto_contact") && now.in_auto_contact) return 1;
  if (!strcmp(event, "auto") && now.in_auto) return 1;
  if (!strcmp(event, "hand") && now.in_hand && start == 2) return 1;
  if (!strcmp(event, "reverse") && now.in_reverse && (start == 0 || start == 3)) return 1;
  if (start == 1 && now.in_start) return 1;
  if (start == 3 && (now.in_start || now.in_reverse)) return 1;
  if (start == 4 && now.in_hand && now.in_start) return 1;
  return now.in_jog;
}

/* Whether a loss did not lead to what is needed: to a stop, or to a speed. */
static int wrong_(int need, struct seen s) {
  if (need <= 2) return s.motion == 1;
  return s.motion != 1 || s.speed != (need == 4 ? 2 : 1);
}

static void rules_(const char *event) {
  int i, time = !strcmp(event, "time");
  now.armed = now.in_emergency || (now.armed && !commanded_(event));
  for (i = 0; i < 2; i++) {
    struct seen a = before_[i], b = after_[i];
    int was = a.motion == 1, is = b.motion == 1, starts = is && !was;
    int resets = (!strcmp(event, "reset") && now.in_reset) || ((time || !strcmp(event, "cause")) && a.tripped);
    int pressed = !strcmp(event, "emergency") && now.in_emergency;
    int bynet = W_START(i) == 4 && !now.in_hand;
    int energised = b.motion >= 1 && b.motion <= 3;
    rule_(i, 0, "emergency-stop", A_EMERGENCY_STOP, is && now.armed);
    rule_(i, 1, "reset", A_RESET, starts && resets);
    rule_(i, 2, "power-return", A_POWER_RETURN, !N_RESTART && starts && !strcmp(event, "supply") && now.in_supply);
    rule_(i, 3, "permissives", A_PERMISSIVES, is && !now.in_permissive);
    rule_(i, 4, "category", A_CATEGORY, pressed && was && (N_CATEGORY == 0 ? energised : b.motion != 2 && b.motion != 3));
    rule_(i, 5, "reference-loss", A_REFERENCE_LOSS, time && now.in_reference_lost && was && wrong_(N_REFERENCE_LOST, b));
    rule_(i, 6, "network-loss", A_NETWORK_LOSS, time && now.in_silent && bynet && was && wrong_(N_NETWORK_LOST, b));
  }
}
#endif

static void then_(const char *event) {
  char line[48];
  int had, has;
  struct seen *a = before_, *b = after_;
  after_[0] = see_(0); after_[1] = see_(1);
#ifdef RULES
  rules_(event);
#endif
  had = bad_(a[0].motion, a[1].motion, 0);
  has = bad_(b[0].motion, b[1].motion, a[1].motion == 1);
  if (has != 9 && (had == 9 || (has < had && had != 0))) {
    sprintf(line, "%d motion %d %d %s", has, b[0].motion, b[1].motion, event);
    note_(line);
  }
  if (had != 9 || has != 9) return;
#define ASPECT(danger, name, field) \
  if (b[0].field != b[1].field && !(a[0].field == b[0].field && a[1].field == b[1].field)) { \
    sprintf(line, "%d %s %d %d %s", danger, name, b[0].field, b[1].field, event); \
    note_(line); \
  }
  ASPECT(2, "direction", reverse)
  ASPECT(2, "speed", speed)
  ASPECT(2, "jolt", jolt)
  ASPECT(2, "brake", released)
  ASPECT(3, "run", run)
  ASPECT(3, "fault", fault)
  ASPECT(3, "ready", ready)
  ASPECT(3, "waits", waits)
  ASPECT(3, "tripped", tripped)
}
