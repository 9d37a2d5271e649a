// Names and gaps of the texts in `templates/labels/en.yaml`, and nothing else of them: a change of wording
// changes nothing here. Written by `BLESS=1 cargo test --test inside generated`; a line put in by hand
// is as good, the test without BLESS compares.

texts! {
    "language" LANGUAGE;
    "decimal" DECIMAL;
}
pub mod common {
    texts! {
        "common.act" Act { hand, place, way };
        "common.act_bare" ActBare { way };
        "common.act_here" ActHere { hand, way };
        "common.act_switch" ActSwitch { place, way };
        "common.amperes" Amperes { number };
        "common.both" Both { one, other };
        "common.channel" Channel { number };
        "common.depth_and_dive" DepthAndDive { end, limit };
        "common.draft" DRAFT;
        "common.draft_across" DRAFT_ACROSS;
        "common.draft_failed" DRAFT_FAILED;
        "common.effect_on" EffectOn { effect, part };
        "common.effects" each EFFECTS;
        "common.failed" Failed { what };
        "common.failed_across" FAILED_ACROSS;
        "common.feet" Feet { number };
        "common.gas" GAS;
        "common.hands" each HANDS;
        "common.high" HIGH;
        "common.low" LOW;
        "common.may" each May { name };
        "common.metres" Metres { number };
        "common.mix" Mix { from, share, to };
        "common.mixed" MIXED;
        "common.never_off" NEVER_OFF;
        "common.no" NO;
        "common.no_dives" NoDives { limit };
        "common.not" each Not { name };
        "common.parts" each PARTS;
        "common.percent" Percent { number };
        "common.places" each PLACES;
        "common.provisional" Provisional { count };
        "common.provisional_across" ProvisionalAcross { count };
        "common.rate" Rate { channel, rate };
        "common.rates" Rates { values };
        "common.rates_of_way" RatesOfWay { values, way };
        "common.revision" Revision { revision };
        "common.seconds" Seconds { number };
        "common.springs_back" SPRINGS_BACK;
        "common.stays" STAYS;
        "common.stays_sideways" STAYS_SIDEWAYS;
        "common.stays_upright" STAYS_UPRIGHT;
        "common.the_sticks" THE_STICKS;
        "common.verbs" each Verbs { name };
        "common.volts" Volts { number };
        "common.with_setting" WithSetting { setting, switch, what };
        "common.within_reach" WithinReach { because, controls, work };
        "common.within_reach_bare" WithinReachBare { because, work };
        "common.work_and_kind" WorkAndKind { kind, work };
        "common.works" each WORKS;
        "common.yes" YES;
    }
    pub mod alarms {
        texts! {
            "common.alarms.any_battery" ANY_BATTERY;
            "common.alarms.battery" Battery { name, volts };
            "common.alarms.battery_or_leak" BatteryOrLeak { battery };
            "common.alarms.leak" LEAK;
            "common.alarms.low_battery" LOW_BATTERY;
            "common.alarms.nobody" NOBODY;
            "common.alarms.nobody_on_either" NOBODY_ON_EITHER;
            "common.alarms.nothing" NOTHING;
        }
    }
    pub mod emergency {
        texts! {
            "common.emergency.failed" Failed { number };
            "common.emergency.floats" FLOATS;
            "common.emergency.floats_unpowered" FLOATS_UNPOWERED;
            "common.emergency.hold_stopped" HoldStopped { ways };
            "common.emergency.hold_up" HoldUp { ways };
            "common.emergency.leave_off" LEAVE_OFF;
            "common.emergency.leave_off_in" LeaveOffIn { time };
            "common.emergency.leave_off_stopped" LEAVE_OFF_STOPPED;
            "common.emergency.let_go" LetGo { places };
            "common.emergency.let_go_too" LetGoToo { places, what };
            "common.emergency.middle" Middle { places };
            "common.emergency.middle_too" MiddleToo { places, what };
            "common.emergency.none" NONE;
            "common.emergency.not_alone" NOT_ALONE;
            "common.emergency.not_stopped" NotStopped { what };
            "common.emergency.not_up" NotUp { what };
            "common.emergency.not_up_in" NotUpIn { time, what };
            "common.emergency.off" OFF;
            "common.emergency.off_at_once" OFF_AT_ONCE;
            "common.emergency.off_then" OffThen { what, when };
            "common.emergency.place" Place { hand, place };
            "common.emergency.press" Press { ways };
            "common.emergency.switch" Switch { name, place };
            "common.emergency.throw" Throw { setting, switch };
            "common.emergency.throw_first" ThrowFirst { throw, what };
            "common.emergency.unknown" Unknown { number };
            "common.emergency.withheld" WITHHELD;
        }
    }
    pub mod kinds {
        texts! {
            "common.kinds.buttons" BUTTONS;
            "common.kinds.knob" KNOB;
            "common.kinds.slider" SLIDER;
            "common.kinds.stick" STICK;
            "common.kinds.switch" SWITCH;
        }
    }
    pub mod links {
        texts! {
            "common.links.controller" CONTROLLER;
            "common.links.fuse" FUSE;
            "common.links.pack" PACK;
            "common.links.plug" PLUG;
            "common.links.switch" SWITCH;
        }
    }
    pub mod loss {
        texts! {
            "common.loss.after" After { time };
            "common.loss.alone" Alone { what };
            "common.loss.as_set" AsSet { name };
            "common.loss.at_once" AT_ONCE;
            "common.loss.details" Details { details, stage };
            "common.loss.hold" HOLD;
            "common.loss.lasts" Lasts { stage, time };
            "common.loss.motor_assumed" MOTOR_ASSUMED;
            "common.loss.motor_runs" MOTOR_RUNS;
            "common.loss.motor_still" MotorStill { name };
            "common.loss.motor_stops" MOTOR_STOPS;
            "common.loss.no_pulses" NO_PULSES;
            "common.loss.noise" NOISE;
            "common.loss.not_known" NOT_KNOWN;
            "common.loss.others_hold" OTHERS_HOLD;
            "common.loss.others_no_pulses" OTHERS_NO_PULSES;
            "common.loss.others_noise" OTHERS_NOISE;
            "common.loss.some_noise" SomeNoise { channels };
            "common.loss.stays" Stays { stage };
            "common.loss.time_unknown" TIME_UNKNOWN;
            "common.loss.to_the_middle" ToTheMiddle { name };
        }
    }
    pub mod power_up {
        texts! {
            "common.power_up.moment" Moment { does, when };
            "common.power_up.perhaps" Perhaps { does };
            "common.power_up.runs" Runs { name };
            "common.power_up.stops" Stops { name };
        }
    }
}
pub mod card {
    texts! {
        "card.acts" each Acts { name };
        "card.alarm" Alarm { kept, lost, when };
        "card.alarm_all" AlarmAll { lost, when };
        "card.alarms" ALARMS;
        "card.all_off" ALL_OFF;
        "card.alone" Alone { what };
        "card.apart" Apart { does, name };
        "card.bar" BAR;
        "card.contact" CONTACT;
        "card.depth" Depth { depth };
        "card.depth_limit" DEPTH_LIMIT;
        "card.emergency" EMERGENCY;
        "card.left_out" LEFT_OUT;
        "card.lights" LIGHTS;
        "card.lost" LOST;
        "card.memory" Memory { memory };
        "card.no_dives" NO_DIVES;
        "card.no_motor" NO_MOTOR;
        "card.of_part" OfPart { does, part };
        "card.off_order" OFF_ORDER;
        "card.off_order_acts" OffOrderActs { does };
        "card.off_order_dives" OFF_ORDER_DIVES;
        "card.off_order_dives_acts" OffOrderDivesActs { does };
        "card.on_order" ON_ORDER;
        "card.signal_lost" SIGNAL_LOST;
        "card.surface" SURFACE;
        "card.switches" SWITCHES;
        "card.title" Title { boat };
        "card.transmitter" TRANSMITTER;
        "card.until_heard" UntilHeard { what };
        "card.verbs" each VERBS;
        "card.with" With { setting, switch };
        "card.works" each WORKS;
        "card.workshop" WORKSHOP;
    }
    pub mod head {
        texts! {
            "card.head.control" CONTROL;
            "card.head.endpoints" ENDPOINTS;
            "card.head.name" NAME;
            "card.head.number" NUMBER;
            "card.head.reverse" REVERSE;
            "card.head.sub_trim" SUB_TRIM;
        }
    }
    pub mod html {
        texts! {
            "card.html.alarms" ALARMS;
            "card.html.controls" CONTROLS;
            "card.html.emergency" EMERGENCY;
            "card.html.launch" LAUNCH;
            "card.html.lights" LIGHTS;
            "card.html.name" NAME;
            "card.html.remember" REMEMBER;
            "card.html.settings" SETTINGS;
            "card.html.signal_lost" SIGNAL_LOST;
            "card.html.surface" SURFACE;
            "card.html.switches" SWITCHES;
            "card.html.whom" WHOM;
        }
        pub mod head {
            texts! {
                "card.html.head.control" CONTROL;
                "card.html.head.does" DOES;
                "card.html.head.hand" HAND;
                "card.html.head.setting" SETTING;
            }
        }
    }
    pub mod launch {
        texts! {
            "card.launch.closed" CLOSED;
            "card.launch.controls" CONTROLS;
            "card.launch.couplings" Couplings { couplings };
            "card.launch.gas" GAS;
            "card.launch.lights" LIGHTS;
            "card.launch.title" TITLE;
            "card.launch.tube" TUBE;
            "card.launch.weight" WEIGHT;
        }
    }
}
pub mod guide {
    texts! {
        "guide.code" CODE;
        "guide.code_note" CodeNote { code };
        "guide.contents" CONTENTS;
        "guide.for_whom" FOR_WHOM;
        "guide.name" NAME;
        "guide.title" Title { boat };
    }
    pub mod after {
        texts! {
            "guide.after.ashore" ASHORE;
            "guide.after.battery_out" BatteryOut { chapter };
            "guide.after.blows" BLOWS;
            "guide.after.couplings" Couplings { couplings };
            "guide.after.drain" DRAIN;
            "guide.after.dry" DRY;
            "guide.after.gas_away" GAS_AWAY;
            "guide.after.gas_out" GAS_OUT;
            "guide.after.log" LOG;
            "guide.after.off" Off { power };
            "guide.after.open" OPEN;
            "guide.after.order" ORDER;
            "guide.after.papers" PAPERS;
            "guide.after.relax" RELAX;
            "guide.after.rinse" RINSE;
            "guide.after.rinse_salt" RINSE_SALT;
            "guide.after.rinse_tank" RINSE_TANK;
            "guide.after.seals" SEALS;
            "guide.after.snorkel" SNORKEL;
            "guide.after.store" STORE;
            "guide.after.surface" SURFACE;
            "guide.after.title" TITLE;
            "guide.after.weed" WEED;
        }
        pub mod off_power {
            texts! {
                "guide.after.off_power.plug" PLUG;
                "guide.after.off_power.plug_at" PlugAt { r#where };
                "guide.after.off_power.remote" REMOTE;
                "guide.after.off_power.remote_at" RemoteAt { r#where };
                "guide.after.off_power.switch" SWITCH;
                "guide.after.off_power.switch_at" SwitchAt { r#where };
            }
        }
    }
    pub mod alone {
        texts! {
            "guide.alone.again" AGAIN;
            "guide.alone.alarm_gas" ALARM_GAS;
            "guide.alone.alarms" ALARMS;
            "guide.alone.failed" FAILED;
            "guide.alone.gas_used" GAS_USED;
            "guide.alone.hold" HOLD;
            "guide.alone.lasts" Lasts { time, what };
            "guide.alone.level" LEVEL;
            "guide.alone.leveller" Leveller { what };
            "guide.alone.leveller_bare" LEVELLER_BARE;
            "guide.alone.lights" LIGHTS;
            "guide.alone.lost" LOST;
            "guide.alone.lost_intro" LOST_INTRO;
            "guide.alone.may_run" MayRun { name };
            "guide.alone.noise" NOISE;
            "guide.alone.others_hold" OTHERS_HOLD;
            "guide.alone.others_noise" OTHERS_NOISE;
            "guide.alone.others_silent" OTHERS_SILENT;
            "guide.alone.override" Override { acts };
            "guide.alone.power" POWER;
            "guide.alone.power_gone" POWER_GONE;
            "guide.alone.power_gone_open" POWER_GONE_OPEN;
            "guide.alone.runs" Runs { name };
            "guide.alone.silent" SILENT;
            "guide.alone.stays" Stays { what };
            "guide.alone.stops" Stops { name };
            "guide.alone.title" TITLE;
            "guide.alone.weight_gone" WeightGone { works };
            "guide.alone.why_alarm" WHY_ALARM;
            "guide.alone.why_nothing" WHY_NOTHING;
            "guide.alone.why_nothing_surface" WHY_NOTHING_SURFACE;
            "guide.alone.why_raise" WHY_RAISE;
            "guide.alone.why_stop" WHY_STOP;
        }
    }
    pub mod ask {
        texts! {
            "guide.ask.changed" CHANGED;
            "guide.ask.code" Code { code };
            "guide.ask.code_only" CodeOnly { code };
            "guide.ask.have" HAVE;
            "guide.ask.nobody" NOBODY;
            "guide.ask.quiet" QUIET;
            "guide.ask.title" TITLE;
            "guide.ask.what" WHAT;
        }
    }
    pub mod before {
        texts! {
            "guide.before.aerial" Aerial { r#where };
            "guide.before.aerial_own" AERIAL_OWN;
            "guide.before.charged" Charged { battery };
            "guide.before.charged_any" CHARGED_ANY;
            "guide.before.closed" CLOSED;
            "guide.before.closing" Closing { order };
            "guide.before.couplings" Couplings { couplings };
            "guide.before.fail_safe" FAIL_SAFE;
            "guide.before.fail_safe_after" FAIL_SAFE_AFTER;
            "guide.before.fail_safe_after_gas" FAIL_SAFE_AFTER_GAS;
            "guide.before.fail_safe_drops" FailSafeDrops { works };
            "guide.before.fail_safe_gas" FAIL_SAFE_GAS;
            "guide.before.fail_safe_intro" FAIL_SAFE_INTRO;
            "guide.before.fires" Fires { works };
            "guide.before.frequency" Frequency { frequency };
            "guide.before.gas" GAS;
            "guide.before.gas_apart" GAS_APART;
            "guide.before.heats" Heats { works };
            "guide.before.home" HOME;
            "guide.before.intro" INTRO;
            "guide.before.keep_clear" KEEP_CLEAR;
            "guide.before.leak_bank" LEAK_BANK;
            "guide.before.leak_dip" LEAK_DIP;
            "guide.before.leak_test" LeakTest { r#where };
            "guide.before.leak_tube_bank" LeakTubeBank { r#where };
            "guide.before.left_alone" LeftAlone { ways };
            "guide.before.look" LOOK;
            "guide.before.look_surface" LOOK_SURFACE;
            "guide.before.memory" Memory { memory };
            "guide.before.off" OFF;
            "guide.before.on" ON;
            "guide.before.order_warning" OrderWarning { does };
            "guide.before.order_why" OrderWhy { does };
            "guide.before.seals" SEALS;
            "guide.before.senses" SENSES;
            "guide.before.senses_intro" SENSES_INTRO;
            "guide.before.settings" Settings { settings };
            "guide.before.shared" SHARED;
            "guide.before.spotter" SPOTTER;
            "guide.before.throttle" Throttle { controls };
            "guide.before.throttle_at_end" ThrottleAtEnd { control, way };
            "guide.before.title" TITLE;
            "guide.before.transmitter_charged" TRANSMITTER_CHARGED;
            "guide.before.transmitter_first" TRANSMITTER_FIRST;
            "guide.before.trims" TRIMS;
            "guide.before.water" WATER;
            "guide.before.weight" Weight { works };
        }
        pub mod head {
            texts! {
                "guide.before.head.control" CONTROL;
                "guide.before.head.move" MOVE;
                "guide.before.head.place" PLACE;
                "guide.before.head.see" SEE;
                "guide.before.head.when" WHEN;
            }
        }
        pub mod power {
            texts! {
                "guide.before.power.any" ANY;
                "guide.before.power.plug" Plug { r#where };
                "guide.before.power.plug_bare" PLUG_BARE;
                "guide.before.power.remote" Remote { r#where };
                "guide.before.power.remote_bare" REMOTE_BARE;
                "guide.before.power.switch" Switch { r#where };
                "guide.before.power.switch_bare" SWITCH_BARE;
            }
        }
    }
    pub mod charging {
        texts! {
            "guide.charging.batteries" BATTERIES;
            "guide.charging.cells" Cells { count };
            "guide.charging.fire" FIRE;
            "guide.charging.fuse" Fuse { rated };
            "guide.charging.gas" GAS;
            "guide.charging.gas_breath" GAS_BREATH;
            "guide.charging.gas_burns" GAS_BURNS;
            "guide.charging.gas_cold" GAS_COLD;
            "guide.charging.gas_eyes" GAS_EYES;
            "guide.charging.gas_heat" GAS_HEAT;
            "guide.charging.gas_sun" GAS_SUN;
            "guide.charging.gas_vessel" GAS_VESSEL;
            "guide.charging.has" Has { facts, name };
            "guide.charging.intro" INTRO;
            "guide.charging.intro_batteries" INTRO_BATTERIES;
            "guide.charging.lasts_alarm" LastsAlarm { minutes };
            "guide.charging.lasts_flat" LastsFlat { minutes };
            "guide.charging.lasts_unknown" LASTS_UNKNOWN;
            "guide.charging.lead" LEAD;
            "guide.charging.lead_gas" LEAD_GAS;
            "guide.charging.legend" LEGEND;
            "guide.charging.life" LIFE;
            "guide.charging.liion" LIION;
            "guide.charging.lipo" LIPO;
            "guide.charging.lipo_fire" LIPO_FIRE;
            "guide.charging.nicd" NICD;
            "guide.charging.nimh" NIMH;
            "guide.charging.short" SHORT;
            "guide.charging.title" TITLE;
            "guide.charging.title_batteries" TITLE_BATTERIES;
            "guide.charging.unknown" UNKNOWN;
        }
        pub mod gas_steps {
            texts! {
                "guide.charging.gas_steps.check" CHECK;
                "guide.charging.gas_steps.count" COUNT;
                "guide.charging.gas_steps.maker" MAKER;
                "guide.charging.gas_steps.out" OUT;
                "guide.charging.gas_steps.weigh" WEIGH;
            }
        }
        pub mod means {
            texts! {
                "guide.charging.means.caution" CAUTION;
                "guide.charging.means.danger" DANGER;
                "guide.charging.means.notice" NOTICE;
                "guide.charging.means.warning" WARNING;
            }
        }
        pub mod steps {
            texts! {
                "guide.charging.steps.charger" CHARGER;
                "guide.charging.steps.off" OFF;
                "guide.charging.steps.place" PLACE;
                "guide.charging.steps.rest" REST;
                "guide.charging.steps.stay" STAY;
            }
        }
    }
    pub mod controls {
        texts! {
            "guide.controls.guarded" Guarded { setting, switch, work };
            "guide.controls.intro" INTRO;
            "guide.controls.let_go" LET_GO;
            "guide.controls.others" OTHERS;
            "guide.controls.rates" RATES;
            "guide.controls.springs" SPRINGS;
            "guide.controls.springs_buttons" SPRINGS_BUTTONS;
            "guide.controls.stays" STAYS;
            "guide.controls.stays_trim" STAYS_TRIM;
            "guide.controls.title" TITLE;
            "guide.controls.trim" TRIM;
            "guide.controls.trims" TRIMS;
        }
    }
    pub mod diving {
        texts! {
            "guide.diving.ahead" AHEAD;
            "guide.diving.brackish" BRACKISH;
            "guide.diving.breath_none" BREATH_NONE;
            "guide.diving.breath_one" BREATH_ONE;
            "guide.diving.breath_unknown" BREATH_UNKNOWN;
            "guide.diving.breaths" Breaths { before, count };
            "guide.diving.depth" Depth { depth };
            "guide.diving.depth_none" DEPTH_NONE;
            "guide.diving.dip" Dip { act };
            "guide.diving.dives_end" DivesEnd { depth };
            "guide.diving.dives_never" DIVES_NEVER;
            "guide.diving.down" DOWN;
            "guide.diving.duty" Duty { time, work };
            "guide.diving.dynamic" DYNAMIC;
            "guide.diving.empty" Empty { act };
            "guide.diving.fill" Fill { act };
            "guide.diving.fresh" FRESH;
            "guide.diving.full_stop" FULL_STOP;
            "guide.diving.gas" GAS;
            "guide.diving.gas_yours" GAS_YOURS;
            "guide.diving.how" HOW;
            "guide.diving.intro" INTRO;
            "guide.diving.limits" LIMITS;
            "guide.diving.planes" Planes { down, up };
            "guide.diving.raises" Raises { act, work };
            "guide.diving.reserve" RESERVE;
            "guide.diving.rise" Rise { act };
            "guide.diving.sea" SEA;
            "guide.diving.sight" SIGHT;
            "guide.diving.sinks" Sinks { act, work };
            "guide.diving.snorkel" SNORKEL;
            "guide.diving.snorkel_float" SNORKEL_FLOAT;
            "guide.diving.snorkel_hull" SNORKEL_HULL;
            "guide.diving.snorkel_open" SNORKEL_OPEN;
            "guide.diving.snorkel_use" SNORKEL_USE;
            "guide.diving.stop" STOP;
            "guide.diving.stop_diving" STOP_DIVING;
            "guide.diving.take_weight" TakeWeight { act };
            "guide.diving.title" TITLE;
            "guide.diving.up" UP;
        }
    }
    pub mod emergency {
        texts! {
            "guide.emergency.after_gas" AFTER_GAS;
            "guide.emergency.dive" DIVE;
            "guide.emergency.fetch" FETCH;
            "guide.emergency.intro" INTRO;
            "guide.emergency.mark" MARK;
            "guide.emergency.nearer" NEARER;
            "guide.emergency.no_use" NO_USE;
            "guide.emergency.no_use_surface" NO_USE_SURFACE;
            "guide.emergency.nothing" NOTHING;
            "guide.emergency.off" OFF;
            "guide.emergency.off_surface" OFF_SURFACE;
            "guide.emergency.other" OTHER;
            "guide.emergency.tangled" TANGLED;
            "guide.emergency.title" TITLE;
            "guide.emergency.tried" Tried { count, date, depth, estimate, seconds };
            "guide.emergency.tried_bare" TriedBare { count, date, depth, seconds };
            "guide.emergency.tried_not" TriedNot { date, depth };
            "guide.emergency.tried_otherwise" TriedOtherwise { count, date, depth, estimate, seconds };
            "guide.emergency.wade" WADE;
            "guide.emergency.wait" Wait { time };
            "guide.emergency.wait_unknown" WAIT_UNKNOWN;
        }
    }
    pub mod facts {
        texts! {
            "guide.facts.contact" CONTACT;
            "guide.facts.date" DATE;
            "guide.facts.frequency" FREQUENCY;
            "guide.facts.memory" MEMORY;
            "guide.facts.reference" REFERENCE;
            "guide.facts.revision" REVISION;
            "guide.facts.transmitter" TRANSMITTER;
            "guide.facts.workshop" WORKSHOP;
        }
    }
    pub mod left {
        texts! {
            "guide.left.before" Before { number };
            "guide.left.date" DATE;
            "guide.left.halt" HALT;
            "guide.left.initials" INITIALS;
            "guide.left.intro" INTRO;
            "guide.left.not_judged" NotJudged { count };
            "guide.left.title" TITLE;
            "guide.left.unmeasured" UNMEASURED;
        }
    }
    pub mod limits {
        texts! {
            "guide.limits.accepted" ACCEPTED;
            "guide.limits.accepted_point" AcceptedPoint { because, what };
            "guide.limits.decibels" Decibels { number };
            "guide.limits.decides" DECIDES;
            "guide.limits.no" NO;
            "guide.limits.no_figures" NO_FIGURES;
            "guide.limits.no_gas" NO_GAS;
            "guide.limits.no_hull" NO_HULL;
            "guide.limits.no_radio" NO_RADIO;
            "guide.limits.no_weed" NO_WEED;
            "guide.limits.radio_brackish" RADIO_BRACKISH;
            "guide.limits.radio_brackish_measured" RADIO_BRACKISH_MEASURED;
            "guide.limits.radio_depth" RadioDepth { depth, high, low, margin, water };
            "guide.limits.radio_pond" RADIO_POND;
            "guide.limits.radio_pond_assumed" RADIO_POND_ASSUMED;
            "guide.limits.radio_sea" RADIO_SEA;
            "guide.limits.title" TITLE;
            "guide.limits.yes" YES;
            "guide.limits.yes_draft" YES_DRAFT;
            "guide.limits.yes_provisional" YesProvisional { open };
            "guide.limits.yes_text" YES_TEXT;
            "guide.limits.yes_text_accepted" YES_TEXT_ACCEPTED;
        }
    }
    pub mod odd {
        texts! {
            "guide.odd.ask" ASK;
            "guide.odd.intro" INTRO;
            "guide.odd.title" TITLE;
        }
        pub mod causes {
            pub mod aerial {
                texts! {
                    "guide.odd.causes.aerial.do" Do { r#where };
                    "guide.odd.causes.aerial.why" WHY;
                }
            }
            pub mod arm_moved {
                texts! {
                    "guide.odd.causes.arm_moved.do" DO;
                    "guide.odd.causes.arm_moved.why" WHY;
                }
            }
            pub mod astern {
                texts! {
                    "guide.odd.causes.astern.do" DO;
                    "guide.odd.causes.astern.why" WHY;
                }
            }
            pub mod battery {
                texts! {
                    "guide.odd.causes.battery.do" DO;
                    "guide.odd.causes.battery.why" WHY;
                }
            }
            pub mod bent {
                texts! {
                    "guide.odd.causes.bent.do" DO;
                    "guide.odd.causes.bent.why" WHY;
                }
            }
            pub mod blew {
                texts! {
                    "guide.odd.causes.blew.do" DO;
                    "guide.odd.causes.blew.why" Why { time };
                }
            }
            pub mod boat_off {
                texts! {
                    "guide.odd.causes.boat_off.do" DO;
                    "guide.odd.causes.boat_off.why" WHY;
                }
            }
            pub mod boat_off_at {
                texts! {
                    "guide.odd.causes.boat_off_at.do" Do { r#where };
                    "guide.odd.causes.boat_off_at.why" WHY;
                }
            }
            pub mod cold {
                texts! {
                    "guide.odd.causes.cold.do" DO;
                    "guide.odd.causes.cold.why" WHY;
                }
            }
            pub mod float {
                texts! {
                    "guide.odd.causes.float.do" DO;
                    "guide.odd.causes.float.why" WHY;
                }
            }
            pub mod floats {
                texts! {
                    "guide.odd.causes.floats.do" DO;
                    "guide.odd.causes.floats.why" WHY;
                }
            }
            pub mod fouled {
                texts! {
                    "guide.odd.causes.fouled.do" DO;
                    "guide.odd.causes.fouled.why" WHY;
                }
            }
            pub mod gas_leaks {
                texts! {
                    "guide.odd.causes.gas_leaks.do" DO;
                    "guide.odd.causes.gas_leaks.why" WHY;
                }
            }
            pub mod gentle {
                texts! {
                    "guide.odd.causes.gentle.do" DO;
                    "guide.odd.causes.gentle.why" Why { setting, switch };
                }
            }
            pub mod guard {
                texts! {
                    "guide.odd.causes.guard.do" DO;
                    "guide.odd.causes.guard.why" Why { setting, switch };
                }
            }
            pub mod held {
                texts! {
                    "guide.odd.causes.held.do" Do { act };
                    "guide.odd.causes.held.why" WHY;
                }
            }
            pub mod held_trim {
                texts! {
                    "guide.odd.causes.held_trim.do" Do { control };
                    "guide.odd.causes.held_trim.why" WHY;
                }
            }
            pub mod jammed {
                texts! {
                    "guide.odd.causes.jammed.do" DO;
                    "guide.odd.causes.jammed.why" WHY;
                }
            }
            pub mod joint {
                texts! {
                    "guide.odd.causes.joint.do" DO;
                    "guide.odd.causes.joint.why" WHY;
                }
            }
            pub mod leak {
                texts! {
                    "guide.odd.causes.leak.do" DO;
                    "guide.odd.causes.leak.why" WHY;
                }
            }
            pub mod let_go {
                texts! {
                    "guide.odd.causes.let_go.do" DO;
                    "guide.odd.causes.let_go.why" Why { control };
                }
            }
            pub mod level_bow {
                texts! {
                    "guide.odd.causes.level_bow.do" DO;
                    "guide.odd.causes.level_bow.why" WHY;
                }
            }
            pub mod lost {
                texts! {
                    "guide.odd.causes.lost.do" DO;
                    "guide.odd.causes.lost.why" WHY;
                }
            }
            pub mod low {
                texts! {
                    "guide.odd.causes.low.do" DO;
                    "guide.odd.causes.low.why" Why { battery };
                }
            }
            pub mod memory {
                texts! {
                    "guide.odd.causes.memory.do" Do { memory };
                    "guide.odd.causes.memory.why" WHY;
                }
            }
            pub mod motor_trim {
                texts! {
                    "guide.odd.causes.motor_trim.do" Do { control };
                    "guide.odd.causes.motor_trim.why" WHY;
                }
            }
            pub mod no_air {
                texts! {
                    "guide.odd.causes.no_air.do" DO;
                    "guide.odd.causes.no_air.why" WHY;
                }
            }
            pub mod r#override {
                texts! {
                    "guide.odd.causes.override.do" DO;
                    "guide.odd.causes.override.why" Why { control };
                }
            }
            pub mod planes_trim {
                texts! {
                    "guide.odd.causes.planes_trim.do" Do { control };
                    "guide.odd.causes.planes_trim.why" WHY;
                }
            }
            pub mod power_up {
                texts! {
                    "guide.odd.causes.power_up.do" DO;
                    "guide.odd.causes.power_up.why" WHY;
                }
            }
            pub mod power_up_at {
                texts! {
                    "guide.odd.causes.power_up_at.do" Do { way };
                    "guide.odd.causes.power_up_at.why" Why { way };
                }
            }
            pub mod pump_kept {
                texts! {
                    "guide.odd.causes.pump_kept.do" Do { sign };
                    "guide.odd.causes.pump_kept.why" WHY;
                }
            }
            pub mod range {
                texts! {
                    "guide.odd.causes.range.do" DO;
                    "guide.odd.causes.range.why" WHY;
                }
            }
            pub mod range_surface {
                texts! {
                    "guide.odd.causes.range_surface.do" DO;
                    "guide.odd.causes.range_surface.why" WHY;
                }
            }
            pub mod reach {
                texts! {
                    "guide.odd.causes.reach.do" DO;
                    "guide.odd.causes.reach.why" WHY;
                }
            }
            pub mod reversed {
                texts! {
                    "guide.odd.causes.reversed.do" DO;
                    "guide.odd.causes.reversed.why" WHY;
                }
            }
            pub mod rudder_trim {
                texts! {
                    "guide.odd.causes.rudder_trim.do" Do { control };
                    "guide.odd.causes.rudder_trim.why" WHY;
                }
            }
            pub mod slow {
                texts! {
                    "guide.odd.causes.slow.do" DO;
                    "guide.odd.causes.slow.why" WHY;
                }
            }
            pub mod slow_turn {
                texts! {
                    "guide.odd.causes.slow_turn.do" DO;
                    "guide.odd.causes.slow_turn.why" WHY;
                }
            }
            pub mod someone {
                texts! {
                    "guide.odd.causes.someone.do" DO;
                    "guide.odd.causes.someone.why" Why { frequency };
                }
            }
            pub mod stick_left {
                texts! {
                    "guide.odd.causes.stick_left.do" DO;
                    "guide.odd.causes.stick_left.why" Why { control };
                }
            }
            pub mod stick_left_at {
                texts! {
                    "guide.odd.causes.stick_left_at.do" Do { way };
                    "guide.odd.causes.stick_left_at.why" Why { control };
                }
            }
            pub mod still {
                texts! {
                    "guide.odd.causes.still.do" DO;
                    "guide.odd.causes.still.why" WHY;
                }
            }
            pub mod stuck {
                texts! {
                    "guide.odd.causes.stuck.do" DO;
                    "guide.odd.causes.stuck.why" WHY;
                }
            }
            pub mod switch_moved {
                texts! {
                    "guide.odd.causes.switch_moved.do" DO;
                    "guide.odd.causes.switch_moved.why" WHY;
                }
            }
            pub mod tank {
                texts! {
                    "guide.odd.causes.tank.do" Do { act };
                    "guide.odd.causes.tank.why" WHY;
                }
            }
            pub mod tx_off {
                texts! {
                    "guide.odd.causes.tx_off.do" DO;
                    "guide.odd.causes.tx_off.why" WHY;
                }
            }
            pub mod unit_holds {
                texts! {
                    "guide.odd.causes.unit_holds.do" DO;
                    "guide.odd.causes.unit_holds.why" WHY;
                }
            }
            pub mod unlevel {
                texts! {
                    "guide.odd.causes.unlevel.do" DO;
                    "guide.odd.causes.unlevel.why" WHY;
                }
            }
            pub mod vent {
                texts! {
                    "guide.odd.causes.vent.do" Do { act };
                    "guide.odd.causes.vent.why" WHY;
                }
            }
            pub mod waits {
                texts! {
                    "guide.odd.causes.waits.do" Do { time };
                    "guide.odd.causes.waits.why" WHY;
                }
            }
            pub mod water_fresh {
                texts! {
                    "guide.odd.causes.water_fresh.do" DO;
                    "guide.odd.causes.water_fresh.why" WHY;
                }
            }
            pub mod water_in {
                texts! {
                    "guide.odd.causes.water_in.do" DO;
                    "guide.odd.causes.water_in.why" WHY;
                }
            }
            pub mod wind {
                texts! {
                    "guide.odd.causes.wind.do" DO;
                    "guide.odd.causes.wind.why" WHY;
                }
            }
        }
        pub mod signs {
            texts! {
                "guide.odd.signs.creeps" CREEPS;
                "guide.odd.signs.gas" GAS;
                "guide.odd.signs.heavy" HEAVY;
                "guide.odd.signs.motor" MOTOR;
                "guide.odd.signs.pump" PUMP;
                "guide.odd.signs.pump_on" PUMP_ON;
                "guide.odd.signs.release" Release { work };
                "guide.odd.signs.release_alone" ReleaseAlone { work };
                "guide.odd.signs.silent" SILENT;
                "guide.odd.signs.sinks_not" SINKS_NOT;
                "guide.odd.signs.surfaces" SURFACES;
                "guide.odd.signs.tilts" TILTS;
                "guide.odd.signs.turned" TURNED;
                "guide.odd.signs.turns" TURNS;
                "guide.odd.signs.weak" WEAK;
            }
        }
    }
    pub mod sailing {
        texts! {
            "guide.sailing.intro" INTRO;
            "guide.sailing.near" NEAR;
            "guide.sailing.reserve" RESERVE;
            "guide.sailing.start" START;
            "guide.sailing.stop" Stop { act };
            "guide.sailing.title" TITLE;
        }
    }
    pub mod settings {
        texts! {
            "guide.settings.also" ALSO;
            "guide.settings.intro" Intro { code };
            "guide.settings.intro_draft" IntroDraft { code };
            "guide.settings.intro_provisional" IntroProvisional { code };
            "guide.settings.note" NOTE;
            "guide.settings.reverse_unknown" REVERSE_UNKNOWN;
            "guide.settings.shaped" Shaped { name, number, settings };
            "guide.settings.shaped_bare" ShapedBare { number, settings };
            "guide.settings.spare" Spare { channels };
            "guide.settings.title" TITLE;
        }
        pub mod head {
            texts! {
                "guide.settings.head.control" CONTROL;
                "guide.settings.head.high" HIGH;
                "guide.settings.head.low" LOW;
                "guide.settings.head.name" NAME;
                "guide.settings.head.number" NUMBER;
                "guide.settings.head.reverse" REVERSE;
                "guide.settings.head.sub_trim" SUB_TRIM;
            }
        }
    }
    pub mod what {
        texts! {
            "guide.what.other" OTHER;
            "guide.what.submarine" SUBMARINE;
            "guide.what.surface" SURFACE;
        }
    }
    pub mod words {
        texts! {
            "guide.words.caution" CAUTION;
            "guide.words.danger" DANGER;
            "guide.words.notice" NOTICE;
            "guide.words.warning" WARNING;
        }
    }
}
pub mod sheet {
    texts! {
        "sheet.micros" Micros { number };
        "sheet.regions" each REGIONS;
        "sheet.title" Title { boat };
        "sheet.toleranced" Toleranced { off, value };
    }
    pub mod annex {
        texts! {
            "sheet.annex.title" TITLE;
        }
    }
    pub mod axes {
        texts! {
            "sheet.axes.about" ABOUT;
            "sheet.axes.behind" Behind { device, kind };
            "sheet.axes.best" Best { value };
            "sheet.axes.degrees" Degrees { number };
            "sheet.axes.endpoints" ENDPOINTS;
            "sheet.axes.from" From { at };
            "sheet.axes.full" Full { at };
            "sheet.axes.guarded" Guarded { setting, switch };
            "sheet.axes.held" Held { high, low, way };
            "sheet.axes.kinds" each KINDS;
            "sheet.axes.lever" Lever { moves };
            "sheet.axes.margins" MARGINS;
            "sheet.axes.micros" MICROS;
            "sheet.axes.millimetres" Millimetres { number };
            "sheet.axes.never" Never { longer, shorter };
            "sheet.axes.on" On { channel, kind };
            "sheet.axes.others" OTHERS;
            "sheet.axes.past" Past { what };
            "sheet.axes.piloting" PILOTING;
            "sheet.axes.releases" Releases { at };
            "sheet.axes.room" Room { room, what };
            "sheet.axes.safe" Safe { high, low };
            "sheet.axes.set" Set { value, way };
            "sheet.axes.short_of" ShortOf { what };
            "sheet.axes.short_of_stop" SHORT_OF_STOP;
            "sheet.axes.slide" Slide { moves };
            "sheet.axes.state" State { position, pulse };
            "sheet.axes.still" STILL;
            "sheet.axes.still_in" StillIn { high, low };
            "sheet.axes.stops" STOPS;
            "sheet.axes.stops_at" StopsAt { stops };
            "sheet.axes.title" TITLE;
            "sheet.axes.to" To { at };
        }
        pub mod legend {
            texts! {
                "sheet.axes.legend.best" BEST;
                "sheet.axes.legend.end" END;
                "sheet.axes.legend.margin" MARGIN;
                "sheet.axes.legend.may" MAY;
                "sheet.axes.legend.stage" STAGE;
                "sheet.axes.legend.sure" SURE;
            }
        }
    }
    pub mod batteries {
        texts! {
            "sheet.batteries.capacity" Capacity { number };
            "sheet.batteries.cells" Cells { number };
            "sheet.batteries.fuse" Fuse { current };
            "sheet.batteries.title" TITLE;
        }
    }
    pub mod cautions {
        texts! {
            "sheet.cautions.electric" ELECTRIC;
            "sheet.cautions.gas" GAS;
            "sheet.cautions.law" LAW;
            "sheet.cautions.limits" LIMITS;
            "sheet.cautions.title" TITLE;
        }
    }
    pub mod emergency {
        texts! {
            "sheet.emergency.judged" JUDGED;
            "sheet.emergency.title" TITLE;
            "sheet.emergency.unchecked" UNCHECKED;
        }
    }
    pub mod head {
        texts! {
            "sheet.head.axis" AXIS;
            "sheet.head.axis_is" AxisIs { longer, rest, shorter };
            "sheet.head.channels" CHANNELS;
            "sheet.head.code" CODE;
            "sheet.head.date" DATE;
            "sheet.head.frequency" FREQUENCY;
            "sheet.head.furthest" FURTHEST;
            "sheet.head.memory" MEMORY;
            "sheet.head.pulse" PULSE;
            "sheet.head.pulse_is" PulseIs { accuracy, longer, rest, shorter };
            "sheet.head.reference" REFERENCE;
            "sheet.head.region" REGION;
            "sheet.head.revision" REVISION;
            "sheet.head.step" STEP;
            "sheet.head.transmitter" TRANSMITTER;
            "sheet.head.what" WHAT;
            "sheet.head.workshop" WORKSHOP;
        }
    }
    pub mod matrix {
        texts! {
            "sheet.matrix.at_rest" AT_REST;
            "sheet.matrix.cause" CAUSE;
            "sheet.matrix.held" Held { way };
            "sheet.matrix.legend" LEGEND;
            "sheet.matrix.lost" LOST;
            "sheet.matrix.lost_for_good" LOST_FOR_GOOD;
            "sheet.matrix.may" MAY;
            "sheet.matrix.never" NEVER;
            "sheet.matrix.power_up" POWER_UP;
            "sheet.matrix.power_up_over" PowerUpOver { time };
            "sheet.matrix.power_up_preset" PowerUpPreset { time };
            "sheet.matrix.power_up_stage" PowerUpStage { stage, time };
            "sheet.matrix.power_up_stage_unsure" PowerUpStageUnsure { stage, time };
            "sheet.matrix.runs" Runs { motor };
            "sheet.matrix.stage" Stage { stage };
            "sheet.matrix.stage_alarm" StageAlarm { stage };
            "sheet.matrix.stage_unsure" StageUnsure { stage };
            "sheet.matrix.surely" SURELY;
            "sheet.matrix.title" TITLE;
            "sheet.matrix.unpowered" UNPOWERED;
            "sheet.matrix.waiting" WAITING;
        }
    }
    pub mod orders {
        texts! {
            "sheet.orders.all" ALL;
            "sheet.orders.open" OPEN;
            "sheet.orders.title" TITLE;
        }
        pub mod endpoint {
            texts! {
                "sheet.orders.endpoint.do" DO;
                "sheet.orders.endpoint.first" FIRST;
                "sheet.orders.endpoint.name" NAME;
                "sheet.orders.endpoint.second" SECOND;
                "sheet.orders.endpoint.see" SEE;
            }
        }
        pub mod endpoint_side {
            texts! {
                "sheet.orders.endpoint_side.do" DO;
                "sheet.orders.endpoint_side.first" FIRST;
                "sheet.orders.endpoint_side.name" NAME;
                "sheet.orders.endpoint_side.second" SECOND;
                "sheet.orders.endpoint_side.see" SEE;
            }
        }
        pub mod mix {
            texts! {
                "sheet.orders.mix.do" DO;
                "sheet.orders.mix.first" FIRST;
                "sheet.orders.mix.name" NAME;
                "sheet.orders.mix.second" SECOND;
                "sheet.orders.mix.see" SEE;
            }
        }
        pub mod past_full_stick {
            texts! {
                "sheet.orders.past_full_stick.do" DO;
                "sheet.orders.past_full_stick.first" FIRST;
                "sheet.orders.past_full_stick.name" NAME;
                "sheet.orders.past_full_stick.second" SECOND;
                "sheet.orders.past_full_stick.see" SEE;
            }
        }
        pub mod sub_trim {
            texts! {
                "sheet.orders.sub_trim.do" DO;
                "sheet.orders.sub_trim.first" FIRST;
                "sheet.orders.sub_trim.name" NAME;
                "sheet.orders.sub_trim.second" SECOND;
                "sheet.orders.sub_trim.see" SEE;
            }
        }
        pub mod trim {
            texts! {
                "sheet.orders.trim.do" DO;
                "sheet.orders.trim.first" FIRST;
                "sheet.orders.trim.name" NAME;
                "sheet.orders.trim.second" SECOND;
                "sheet.orders.trim.see" SEE;
            }
        }
    }
    pub mod packed {
        texts! {
            "sheet.packed.about" ABOUT;
            "sheet.packed.part" Part { count, number };
            "sheet.packed.title" TITLE;
        }
    }
    pub mod power {
        texts! {
            "sheet.power.about" ABOUT;
            "sheet.power.at_least" AtLeast { amperes };
            "sheet.power.flows" Flows { name, running, sailing, stalled };
            "sheet.power.missing" Missing { keys, name };
            "sheet.power.title" TITLE;
            "sheet.power.until_alarm" UntilAlarm { minutes, name, volts };
            "sheet.power.until_flat" UntilFlat { minutes, name, volts };
            "sheet.power.weakest" Weakest { name, part, rated };
        }
    }
    pub mod settings {
        texts! {
            "sheet.settings.by" By { control };
            "sheet.settings.endpoint_either" EndpointEither { one, other };
            "sheet.settings.endpoint_named" EndpointNamed { name, value };
            "sheet.settings.expo" Expo { value };
            "sheet.settings.hand_and_way" HandAndWay { hand, way };
            "sheet.settings.intro" INTRO;
            "sheet.settings.longer" LONGER;
            "sheet.settings.longer_assumed" LONGER_ASSUMED;
            "sheet.settings.measured" Measured { pulse, way };
            "sheet.settings.mix" Mix { from, share };
            "sheet.settings.mix_to" MixTo { from, to };
            "sheet.settings.mix_when" MixWhen { from, share, when };
            "sheet.settings.note" NOTE;
            "sheet.settings.notes" NOTES;
            "sheet.settings.pulse_assumed" PulseAssumed { pulse, sense };
            "sheet.settings.rate_at" RateAt { rate, setting };
            "sheet.settings.reverse_unknown" REVERSE_UNKNOWN;
            "sheet.settings.safe" Safe { high, low };
            "sheet.settings.shorter" SHORTER;
            "sheet.settings.shorter_assumed" SHORTER_ASSUMED;
            "sheet.settings.slow" Slow { time };
            "sheet.settings.title" TITLE;
            "sheet.settings.trim" Trim { value };
            "sheet.settings.trim_between" TrimBetween { high, low };
            "sheet.settings.trim_locked" TRIM_LOCKED;
            "sheet.settings.with_trim" WITH_TRIM;
            "sheet.settings.without_trim" WITHOUT_TRIM;
        }
        pub mod head {
            texts! {
                "sheet.settings.head.endpoint" ENDPOINT;
                "sheet.settings.head.expo" EXPO;
                "sheet.settings.head.name" NAME;
                "sheet.settings.head.number" NUMBER;
                "sheet.settings.head.pulse" PULSE;
                "sheet.settings.head.rate" RATE;
                "sheet.settings.head.rest" REST;
                "sheet.settings.head.reverse" REVERSE;
                "sheet.settings.head.safe" SAFE;
                "sheet.settings.head.sub_trim" SUB_TRIM;
                "sheet.settings.head.way" WAY;
            }
        }
    }
    pub mod signed {
        texts! {
            "sheet.signed.about" ABOUT;
            "sheet.signed.date" DATE;
            "sheet.signed.taken_over" TAKEN_OVER;
            "sheet.signed.tested" TESTED;
            "sheet.signed.title" TITLE;
        }
    }
    pub mod stages {
        texts! {
            "sheet.stages.hold" HOLD;
            "sheet.stages.no_pulses" NO_PULSES;
            "sheet.stages.noise" NOISE;
            "sheet.stages.not_known" NOT_KNOWN;
            "sheet.stages.preset" Preset { others };
            "sheet.stages.receiver" Receiver { what };
            "sheet.stages.title" TITLE;
            "sheet.stages.unit" Unit { what };
        }
    }
    pub mod states {
        texts! {
            "sheet.states.lost" LOST;
            "sheet.states.lost_for_good" LOST_FOR_GOOD;
            "sheet.states.low_battery" LOW_BATTERY;
            "sheet.states.on_paper" ON_PAPER;
            "sheet.states.piloting" PILOTING;
            "sheet.states.power_up" POWER_UP;
            "sheet.states.stage" Stage { stage };
            "sheet.states.stage_alarm" StageAlarm { stage };
            "sheet.states.waiting" WAITING;
        }
    }
    pub mod tests {
        texts! {
            "sheet.tests.about" ABOUT;
            "sheet.tests.above" Above { value };
            "sheet.tests.at_most" AtMost { value };
            "sheet.tests.brackish" BRACKISH;
            "sheet.tests.fresh" FRESH;
            "sheet.tests.longer_than" LongerThan { pulse };
            "sheet.tests.on_channel" OnChannel { channel, pulse };
            "sheet.tests.placed" Placed { r#where, what };
            "sheet.tests.sea" SEA;
            "sheet.tests.throughout" Throughout { see, what };
            "sheet.tests.title" TITLE;
        }
        pub mod aerial {
            texts! {
                "sheet.tests.aerial.do" Do { r#where };
                "sheet.tests.aerial.see" SEE;
            }
        }
        pub mod afterwards {
            texts! {
                "sheet.tests.afterwards.title" TITLE;
            }
        }
        pub mod alarms {
            texts! {
                "sheet.tests.alarms.battery" Battery { name, volts };
                "sheet.tests.alarms.leak" LEAK;
                "sheet.tests.alarms.see" See { stage };
                "sheet.tests.alarms.see_kept" SeeKept { channels, stage };
                "sheet.tests.alarms.title" TITLE;
            }
        }
        pub mod alone {
            texts! {
                "sheet.tests.alone.do" Do { depth };
                "sheet.tests.alone.do_gas" DoGas { depth };
                "sheet.tests.alone.hang_again" HangAgain { what, works };
                "sheet.tests.alone.seconds" SECONDS;
                "sheet.tests.alone.see" SEE;
            }
        }
        pub mod batteries {
            texts! {
                "sheet.tests.batteries.do" DO;
                "sheet.tests.batteries.see" SEE;
            }
        }
        pub mod before {
            texts! {
                "sheet.tests.before.title" TITLE;
            }
        }
        pub mod bench {
            texts! {
                "sheet.tests.bench.title" TITLE;
            }
        }
        pub mod boat_second {
            texts! {
                "sheet.tests.boat_second.do" DO;
                "sheet.tests.boat_second.see" SEE;
            }
        }
        pub mod browns_out {
            texts! {
                "sheet.tests.browns_out.do" DO;
                "sheet.tests.browns_out.see" SEE;
            }
        }
        pub mod charge {
            texts! {
                "sheet.tests.charge.do" DO;
                "sheet.tests.charge.see" SEE;
            }
        }
        pub mod closing {
            texts! {
                "sheet.tests.closing.title" TITLE;
            }
        }
        pub mod code {
            texts! {
                "sheet.tests.code.do" DO;
                "sheet.tests.code.see" SEE;
            }
        }
        pub mod comes_back {
            texts! {
                "sheet.tests.comes_back.do" DO;
                "sheet.tests.comes_back.seconds" SECONDS;
                "sheet.tests.comes_back.see" SEE;
            }
        }
        pub mod compartment {
            texts! {
                "sheet.tests.compartment.do" Do { compartment };
                "sheet.tests.compartment.see" SEE;
            }
        }
        pub mod coupling {
            texts! {
                "sheet.tests.coupling.do" Do { coupling };
                "sheet.tests.coupling.see" SEE;
            }
        }
        pub mod current {
            texts! {
                "sheet.tests.current.do" DO;
                "sheet.tests.current.see" SEE;
            }
        }
        pub mod duty {
            texts! {
                "sheet.tests.duty.do" Do { work };
                "sheet.tests.duty.see" SEE;
            }
        }
        pub mod empties {
            texts! {
                "sheet.tests.empties.do" Do { work };
                "sheet.tests.empties.see" SEE;
            }
        }
        pub mod filled {
            texts! {
                "sheet.tests.filled.do" DO;
                "sheet.tests.filled.see" SEE;
            }
        }
        pub mod float_under {
            texts! {
                "sheet.tests.float_under.do" DO;
                "sheet.tests.float_under.see" SEE;
            }
        }
        pub mod float_valve {
            texts! {
                "sheet.tests.float_valve.do" DO;
                "sheet.tests.float_valve.see" SEE;
            }
        }
        pub mod floats {
            texts! {
                "sheet.tests.floats.do" DO;
                "sheet.tests.floats.see" SEE;
            }
        }
        pub mod flow {
            texts! {
                "sheet.tests.flow.do" Do { work };
                "sheet.tests.flow.see" SEE;
            }
        }
        pub mod gas {
            texts! {
                "sheet.tests.gas.before" BEFORE;
                "sheet.tests.gas.title" TITLE;
            }
        }
        pub mod gas_blow {
            texts! {
                "sheet.tests.gas_blow.do" DO;
                "sheet.tests.gas_blow.see" SEE;
            }
        }
        pub mod gas_closed {
            texts! {
                "sheet.tests.gas_closed.do" DO;
                "sheet.tests.gas_closed.see" SEE;
            }
        }
        pub mod gas_in {
            texts! {
                "sheet.tests.gas_in.do" DO;
                "sheet.tests.gas_in.see" SEE;
            }
        }
        pub mod gas_out {
            texts! {
                "sheet.tests.gas_out.do" DO;
                "sheet.tests.gas_out.see" SEE;
            }
        }
        pub mod gas_weigh {
            texts! {
                "sheet.tests.gas_weigh.do" DO;
                "sheet.tests.gas_weigh.see" SEE;
            }
        }
        pub mod head {
            texts! {
                "sheet.tests.head.date" DATE;
                "sheet.tests.head.initials" INITIALS;
            }
        }
        pub mod heavy {
            texts! {
                "sheet.tests.heavy.do" Do { water };
                "sheet.tests.heavy.see" SEE;
            }
        }
        pub mod hole {
            texts! {
                "sheet.tests.hole.do" Do { work };
                "sheet.tests.hole.see" SEE;
            }
        }
        pub mod in_water {
            texts! {
                "sheet.tests.in_water.before" BEFORE;
                "sheet.tests.in_water.title" TITLE;
            }
        }
        pub mod joined_again {
            texts! {
                "sheet.tests.joined_again.do" Do { couplings };
                "sheet.tests.joined_again.see" SEE;
            }
        }
        pub mod leak_dip {
            texts! {
                "sheet.tests.leak_dip.do" DO;
                "sheet.tests.leak_dip.see" SEE;
            }
        }
        pub mod leak_tube {
            texts! {
                "sheet.tests.leak_tube.do" Do { r#where };
                "sheet.tests.leak_tube.see" SEE;
            }
        }
        pub mod levels {
            texts! {
                "sheet.tests.levels.do" Do { device };
                "sheet.tests.levels.see" SEE;
            }
        }
        pub mod light {
            texts! {
                "sheet.tests.light.do" Do { means };
                "sheet.tests.light.see" See { shows };
            }
        }
        pub mod lights {
            texts! {
                "sheet.tests.lights.before" BEFORE;
                "sheet.tests.lights.title" TITLE;
            }
        }
        pub mod lost_link {
            texts! {
                "sheet.tests.lost_link.off" OFF;
                "sheet.tests.lost_link.seconds" Seconds { time };
                "sheet.tests.lost_link.seconds_unknown" SECONDS_UNKNOWN;
                "sheet.tests.lost_link.see" See { what, when };
                "sheet.tests.lost_link.title" TITLE;
                "sheet.tests.lost_link.wait" Wait { time };
                "sheet.tests.lost_link.wait_unknown" WAIT_UNKNOWN;
            }
        }
        pub mod motor_on_loss {
            texts! {
                "sheet.tests.motor_on_loss.do" DO;
                "sheet.tests.motor_on_loss.see" SEE;
            }
        }
        pub mod nothing_again {
            texts! {
                "sheet.tests.nothing_again.do" DO;
                "sheet.tests.nothing_again.see" SEE;
            }
        }
        pub mod open {
            texts! {
                "sheet.tests.open.do" DO;
                "sheet.tests.open.see" SEE;
            }
        }
        pub mod open_snorkel {
            texts! {
                "sheet.tests.open_snorkel.do" DO;
                "sheet.tests.open_snorkel.see" SEE;
            }
        }
        pub mod orders {
            texts! {
                "sheet.tests.orders.before" BEFORE;
                "sheet.tests.orders.either" Either { first, second };
                "sheet.tests.orders.on_the_form" OnTheForm { numbers };
                "sheet.tests.orders.title" TITLE;
            }
        }
        pub mod power_gone {
            texts! {
                "sheet.tests.power_gone.do" DO;
                "sheet.tests.power_gone.see" SEE;
                "sheet.tests.power_gone.see_open" SEE_OPEN;
            }
        }
        pub mod power_plug {
            texts! {
                "sheet.tests.power_plug.do" Do { power };
                "sheet.tests.power_plug.name" NAME;
                "sheet.tests.power_plug.see" SEE;
            }
        }
        pub mod power_remote {
            texts! {
                "sheet.tests.power_remote.do" Do { power };
                "sheet.tests.power_remote.name" NAME;
                "sheet.tests.power_remote.see" SEE;
            }
        }
        pub mod power_switch {
            texts! {
                "sheet.tests.power_switch.do" Do { power };
                "sheet.tests.power_switch.name" NAME;
                "sheet.tests.power_switch.see" SEE;
            }
        }
        pub mod power_up {
            texts! {
                "sheet.tests.power_up.title" TITLE;
            }
        }
        pub mod propellers_off {
            texts! {
                "sheet.tests.propellers_off.do" DO;
                "sheet.tests.propellers_off.see" SEE;
            }
        }
        pub mod propellers_on {
            texts! {
                "sheet.tests.propellers_on.do" DO;
                "sheet.tests.propellers_on.see" SEE;
            }
        }
        pub mod pump_current {
            texts! {
                "sheet.tests.pump_current.do" Do { work };
                "sheet.tests.pump_current.see" SEE;
            }
        }
        pub mod range {
            texts! {
                "sheet.tests.range.do" DO;
                "sheet.tests.range.see" SEE;
            }
        }
        pub mod rest {
            texts! {
                "sheet.tests.rest.before" BEFORE;
                "sheet.tests.rest.do" Do { channel };
                "sheet.tests.rest.middle" Middle { device };
                "sheet.tests.rest.shut" Shut { device };
                "sheet.tests.rest.spare" SPARE;
                "sheet.tests.rest.still" Still { device };
                "sheet.tests.rest.title" TITLE;
            }
        }
        pub mod sense {
            texts! {
                "sheet.tests.sense.before" BEFORE;
                "sheet.tests.sense.do" Do { control, way };
                "sheet.tests.sense.see" See { channel };
                "sheet.tests.sense.title" TITLE;
            }
        }
        pub mod stall {
            texts! {
                "sheet.tests.stall.do" Do { device };
                "sheet.tests.stall.motor" Motor { device };
                "sheet.tests.stall.see" SEE;
            }
        }
        pub mod starts {
            texts! {
                "sheet.tests.starts.do" Do { work };
                "sheet.tests.starts.see" SEE;
            }
        }
        pub mod supply {
            texts! {
                "sheet.tests.supply.title" TITLE;
            }
        }
        pub mod takes {
            texts! {
                "sheet.tests.takes.do" Do { device };
                "sheet.tests.takes.see" SEE;
            }
        }
        pub mod transmitter_first {
            texts! {
                "sheet.tests.transmitter_first.do" DO;
                "sheet.tests.transmitter_first.see" SEE;
            }
        }
        pub mod transmitter_memory {
            texts! {
                "sheet.tests.transmitter_memory.do" Do { memory };
                "sheet.tests.transmitter_memory.see" SEE;
            }
        }
        pub mod unloaded {
            texts! {
                "sheet.tests.unloaded.do" DO;
                "sheet.tests.unloaded.see" SEE;
            }
        }
        pub mod unused {
            texts! {
                "sheet.tests.unused.do" Do { channels };
                "sheet.tests.unused.see" SEE;
            }
        }
        pub mod volume {
            texts! {
                "sheet.tests.volume.do" DO;
                "sheet.tests.volume.see" SEE;
            }
        }
        pub mod ways {
            texts! {
                "sheet.tests.ways.before" BEFORE;
                "sheet.tests.ways.hold" Hold { control, hand, way };
                "sheet.tests.ways.meter" METER;
                "sheet.tests.ways.nothing" NOTHING;
                "sheet.tests.ways.set" Set { control, setting };
                "sheet.tests.ways.title" TITLE;
                "sheet.tests.ways.with" With { setting, switch, what };
            }
        }
        pub mod weight {
            texts! {
                "sheet.tests.weight.do" DO;
                "sheet.tests.weight.see" SEE;
            }
        }
        pub mod without_transmitter {
            texts! {
                "sheet.tests.without_transmitter.do" DO;
                "sheet.tests.without_transmitter.nothing" NOTHING;
                "sheet.tests.without_transmitter.nothing_but" NothingBut { but };
                "sheet.tests.without_transmitter.then" Then { moment };
                "sheet.tests.without_transmitter.wait" WAIT;
            }
        }
        pub mod works {
            texts! {
                "sheet.tests.works.back_do" BackDo { channel, device, numbers };
                "sheet.tests.works.back_see" BACK_SEE;
                "sheet.tests.works.before" BEFORE;
                "sheet.tests.works.closed" Closed { what };
                "sheet.tests.works.closed_row" CLOSED_ROW;
                "sheet.tests.works.complete" Complete { at };
                "sheet.tests.works.complete_do" CompleteDo { work };
                "sheet.tests.works.creep" Creep { side, work };
                "sheet.tests.works.creep_beyond" CreepBeyond { channel, side, work };
                "sheet.tests.works.ends" Ends { at };
                "sheet.tests.works.ends_do" EndsDo { work };
                "sheet.tests.works.engages" Engages { at, what };
                "sheet.tests.works.found" Found { what };
                "sheet.tests.works.found_row" FOUND_ROW;
                "sheet.tests.works.installed" Installed { what };
                "sheet.tests.works.installed_row" INSTALLED_ROW;
                "sheet.tests.works.lets_go" LetsGo { at };
                "sheet.tests.works.lets_go_do" LetsGoDo { work };
                "sheet.tests.works.title" TITLE;
            }
        }
    }
    pub mod time {
        texts! {
            "sheet.time.about" ABOUT;
            "sheet.time.after" After { seconds };
            "sheet.time.at_surface" AT_SURFACE;
            "sheet.time.beyond" Beyond { least, limit };
            "sheet.time.beyond_all" BeyondAll { limit };
            "sheet.time.breaths" Breaths { before, count };
            "sheet.time.deepest" Deepest { nominal, worst };
            "sheet.time.missing" Missing { keys };
            "sheet.time.never" NEVER;
            "sheet.time.no_breath" NO_BREATH;
            "sheet.time.nominal" NOMINAL;
            "sheet.time.one_breath" ONE_BREATH;
            "sheet.time.refused" REFUSED;
            "sheet.time.rests_on" RestsOn { list };
            "sheet.time.seconds" SECONDS;
            "sheet.time.sinks" SINKS;
            "sheet.time.speed" Speed { most, nominal };
            "sheet.time.speed_at_most" SpeedAtMost { most };
            "sheet.time.stage" Stage { stage };
            "sheet.time.surface" Surface { nominal, worst };
            "sheet.time.title" TITLE;
            "sheet.time.worst" WORST;
            "sheet.time.worst_sinks" WorstSinks { nominal };
        }
        pub mod assumed {
            texts! {
                "sheet.time.assumed.air_hull" AirHull { work };
                "sheet.time.assumed.air_snorkel" AirSnorkel { work };
                "sheet.time.assumed.drag" Drag { high, low, nominal };
                "sheet.time.assumed.dropped" DROPPED;
                "sheet.time.assumed.full_bottle" FULL_BOTTLE;
                "sheet.time.assumed.full_volts" FULL_VOLTS;
                "sheet.time.assumed.gas_heat" GAS_HEAT;
                "sheet.time.assumed.hole" Hole { high, low, nominal };
                "sheet.time.assumed.leaks" LEAKS;
                "sheet.time.assumed.low_volts" LOW_VOLTS;
                "sheet.time.assumed.material" MATERIAL;
                "sheet.time.assumed.neutral" NEUTRAL;
                "sheet.time.assumed.no_leak" NO_LEAK;
                "sheet.time.assumed.no_wait" NO_WAIT;
                "sheet.time.assumed.plain" PLAIN;
                "sheet.time.assumed.salt" Salt { grams };
                "sheet.time.assumed.same_water" SAME_WATER;
                "sheet.time.assumed.spread" Spread { high, low, nominal };
                "sheet.time.assumed.to_hand" TO_HAND;
                "sheet.time.assumed.to_nothing" TO_NOTHING;
                "sheet.time.assumed.unit_waits" UnitWaits { seconds };
                "sheet.time.assumed.upright" UPRIGHT;
                "sheet.time.assumed.vented" VENTED;
                "sheet.time.assumed.water" Water { degrees };
                "sheet.time.assumed.way_on" WayOn { high, low, nominal };
                "sheet.time.assumed.weighed" WEIGHED;
                "sheet.time.assumed.weighed_salt" WeighedSalt { grams };
            }
        }
    }
    pub mod units {
        texts! {
            "sheet.units.amperes" Amperes { number };
            "sheet.units.bar" Bar { number };
            "sheet.units.grams" Grams { number };
            "sheet.units.kilograms" Kilograms { number };
            "sheet.units.litres_per_minute" LitresPerMinute { number };
            "sheet.units.millilitres" Millilitres { number };
            "sheet.units.millimetres" Millimetres { number };
            "sheet.units.seconds" Seconds { number };
            "sheet.units.to" To { from, to };
        }
    }
    pub mod units_own {
        texts! {
            "sheet.units_own.battery" Battery { name, volts };
            "sheet.units_own.channels" Channels { channels };
            "sheet.units_own.invalid_pulses" INVALID_PULSES;
            "sheet.units_own.leak" LEAK;
            "sheet.units_own.menu" Menu { menu, value };
            "sheet.units_own.no_pulses" NO_PULSES;
            "sheet.units_own.notices_unknown" NOTICES_UNKNOWN;
            "sheet.units_own.preset" Preset { beyond, channel };
            "sheet.units_own.title" TITLE;
            "sheet.units_own.unit" UNIT;
            "sheet.units_own.wait" Wait { time };
        }
    }
    pub mod unjudged {
        texts! {
            "sheet.unjudged.benches" each BENCHES;
            "sheet.unjudged.hangs" Hangs { about, what };
            "sheet.unjudged.hurts" Hurts { on };
            "sheet.unjudged.intro" INTRO;
            "sheet.unjudged.title" TITLE;
        }
        pub mod head {
            texts! {
                "sheet.unjudged.head.bench" BENCH;
                "sheet.unjudged.head.figure" FIGURE;
                "sheet.unjudged.head.found" FOUND;
                "sheet.unjudged.head.hangs" HANGS;
            }
        }
    }
    pub mod verdicts {
        texts! {
            "sheet.verdicts.accepted" ACCEPTED;
            "sheet.verdicts.by_estimate" ByEstimate { what };
            "sheet.verdicts.certificate" Certificate { sum };
            "sheet.verdicts.error" ERROR;
            "sheet.verdicts.no_distance" NO_DISTANCE;
            "sheet.verdicts.not_judged" NotJudged { what };
            "sheet.verdicts.open" OPEN;
            "sheet.verdicts.rests" Rests { confidence, coverage, what };
            "sheet.verdicts.rests_too_few" RestsTooFew { what };
            "sheet.verdicts.shown_at" ShownAt { output, pulse };
            "sheet.verdicts.summary" Summary { about, count, margin };
            "sheet.verdicts.summary_bare" SummaryBare { count };
            "sheet.verdicts.title" TITLE;
            "sheet.verdicts.undecided" Undecided { what };
            "sheet.verdicts.warning" WARNING;
            "sheet.verdicts.with_margin" WithMargin { margin, micros };
        }
        pub mod head {
            texts! {
                "sheet.verdicts.head.about" ABOUT;
                "sheet.verdicts.head.because" BECAUSE;
                "sheet.verdicts.head.margin" MARGIN;
                "sheet.verdicts.head.message" MESSAGE;
                "sheet.verdicts.head.micros" MICROS;
                "sheet.verdicts.head.proved" PROVED;
                "sheet.verdicts.head.rule" RULE;
                "sheet.verdicts.head.severity" SEVERITY;
                "sheet.verdicts.head.states" STATES;
            }
        }
    }
}
pub mod form {
    texts! {
        "form.about" ABOUT;
        "form.channel" CHANNEL;
        "form.closed" Closed { number };
        "form.cold" COLD;
        "form.creep" CREEP;
        "form.engages" ENGAGES;
        "form.from_above" FROM_ABOVE;
        "form.from_below" FROM_BELOW;
        "form.hurts" HURTS;
        "form.installed" Installed { number };
        "form.kinds" each KINDS;
        "form.longer" LONGER;
        "form.longer_towards" LONGER_TOWARDS;
        "form.name" NAME;
        "form.no_check" NO_CHECK;
        "form.one_way" ONE_WAY;
        "form.other_way" OTHER_WAY;
        "form.rest" REST;
        "form.shorter" SHORTER;
        "form.title" Title { boat };
        "form.warm" WARM;
    }
    pub mod head {
        texts! {
            "form.head.by" BY;
            "form.head.cold" COLD;
            "form.head.date" DATE;
            "form.head.meter" METER;
            "form.head.off" OFF;
            "form.head.others" OTHERS;
            "form.head.set" SET;
            "form.head.volts" VOLTS;
            "form.head.warm" WARM;
        }
    }
    pub mod leveller {
        texts! {
            "form.leveller.title" TITLE;
        }
    }
    pub mod loss {
        texts! {
            "form.loss.title" TITLE;
        }
    }
    pub mod motors {
        texts! {
            "form.motors.title" TITLE;
        }
    }
    pub mod open {
        texts! {
            "form.open.before" BEFORE;
            "form.open.title" TITLE;
        }
    }
    pub mod servos {
        texts! {
            "form.servos.title" TITLE;
        }
    }
    pub mod set {
        texts! {
            "form.set.title" TITLE;
        }
    }
}
pub mod record {
    texts! {
        "record.about" ABOUT;
        "record.cannot_tell" CANNOT_TELL;
        "record.ink" INK;
        "record.left_out" LEFT_OUT;
        "record.no" NO;
        "record.not_judged" NotJudged { keys };
        "record.open" OPEN;
        "record.others" OTHERS;
        "record.sum" Sum { sum };
        "record.summary" Summary { bad, count, good, open };
        "record.title" Title { boat };
        "record.yes" YES;
    }
    pub mod runs {
        texts! {
            "record.runs.by" BY;
            "record.runs.code" CODE;
            "record.runs.coldest" COLDEST;
            "record.runs.conditions" CONDITIONS;
            "record.runs.meters" METERS;
            "record.runs.title" TITLE;
            "record.runs.warmest" WARMEST;
            "record.runs.when" WHEN;
        }
    }
    pub mod tests {
        texts! {
            "record.tests.do" DO;
            "record.tests.expected" EXPECTED;
            "record.tests.file" FILE;
            "record.tests.number" NUMBER;
            "record.tests.read" READ;
            "record.tests.safe" SAFE;
            "record.tests.title" TITLE;
            "record.tests.who" WHO;
        }
    }
}
pub mod practice {
    texts! {
        "practice.banner" BANNER;
        "practice.caution" CAUTION;
        "practice.code" CODE;
        "practice.code_note" CodeNote { code };
        "practice.name" NAME;
        "practice.no_scripts" NO_SCRIPTS;
        "practice.title" Title { boat };
    }
    pub mod alone {
        texts! {
            "practice.alone.about" ABOUT;
            "practice.alone.at" At { late, soon };
            "practice.alone.at_best_only" AtBestOnly { soon };
            "practice.alone.at_worst_only" AtWorstOnly { late };
            "practice.alone.ended" ENDED;
            "practice.alone.hands" HANDS;
            "practice.alone.hands_held" HandsHeld { way };
            "practice.alone.hands_rest" HANDS_REST;
            "practice.alone.lying" LYING;
            "practice.alone.played" Played { cause, hands, r#where };
            "practice.alone.played_bare" PlayedBare { cause };
            "practice.alone.stays" STAYS;
            "practice.alone.stop" STOP;
            "practice.alone.surface" SURFACE;
            "practice.alone.time" Time { time };
            "practice.alone.title" TITLE;
            "practice.alone.under" UNDER;
            "practice.alone.unknown" UNKNOWN;
            "practice.alone.untold" Untold { keys };
            "practice.alone.up" Up { late, soon };
            "practice.alone.up_perhaps" UpPerhaps { soon };
            "practice.alone.where" WHERE;
        }
        pub mod causes {
            texts! {
                "practice.alone.causes.battery" BATTERY;
                "practice.alone.causes.leak" LEAK;
                "practice.alone.causes.loss" LOSS;
                "practice.alone.causes.power_up" POWER_UP;
                "practice.alone.causes.unpowered" UNPOWERED;
            }
        }
        pub mod phases {
            texts! {
                "practice.alone.phases.lost_for_good" LOST_FOR_GOOD;
                "practice.alone.phases.power_up" POWER_UP;
                "practice.alone.phases.power_up_over" POWER_UP_OVER;
                "practice.alone.phases.power_up_preset" POWER_UP_PRESET;
                "practice.alone.phases.power_up_stage" POWER_UP_STAGE;
                "practice.alone.phases.stage" Stage { stage };
                "practice.alone.phases.unpowered" UNPOWERED;
                "practice.alone.phases.waiting" WAITING;
            }
        }
    }
    pub mod boat {
        texts! {
            "practice.boat.above" ABOVE;
            "practice.boat.ahead" AHEAD;
            "practice.boat.astern" ASTERN;
            "practice.boat.no_depth" NO_DEPTH;
            "practice.boat.perhaps_here" PERHAPS_HERE;
            "practice.boat.picture" Picture { state };
            "practice.boat.tank" TANK;
            "practice.boat.title" TITLE;
        }
    }
    pub mod does {
        texts! {
            "practice.does.about" ABOUT;
            "practice.does.now" NOW;
            "practice.does.thing" THING;
            "practice.does.title" TITLE;
        }
    }
    pub mod drills {
        texts! {
            "practice.drills.about" ABOUT;
            "practice.drills.alarm" ALARM;
            "practice.drills.ask" Ask { what };
            "practice.drills.dead" DEAD;
            "practice.drills.done" DONE;
            "practice.drills.fetch" FETCH;
            "practice.drills.look" LOOK;
            "practice.drills.silent" SILENT;
            "practice.drills.steps" STEPS;
            "practice.drills.title" TITLE;
            "practice.drills.wait" WAIT;
        }
    }
    pub mod hands {
        texts! {
            "practice.hands.about" ABOUT;
            "practice.hands.held" HELD;
            "practice.hands.keys" Keys { high, low };
            "practice.hands.let_go" LET_GO;
            "practice.hands.percent" Percent { number, way };
            "practice.hands.released" RELEASED;
            "practice.hands.rest" REST;
            "practice.hands.title" TITLE;
            "practice.hands.trim" Trim { control };
        }
    }
    pub mod marks {
        texts! {
            "practice.marks.by_herself" ByHerself { name };
            "practice.marks.hands_off" HANDS_OFF;
            "practice.marks.may" MAY;
            "practice.marks.middle" MIDDLE;
            "practice.marks.never" NEVER;
            "practice.marks.runs" RUNS;
            "practice.marks.runs_may" RUNS_MAY;
            "practice.marks.stands" STANDS;
            "practice.marks.surely" SURELY;
        }
    }
    pub mod moments {
        texts! {
            "practice.moments.begins" BEGINS;
            "practice.moments.deepest" DEEPEST;
            "practice.moments.handed_back" HANDED_BACK;
            "practice.moments.motor_stops" MotorStops { name };
            "practice.moments.moves" Moves { name };
            "practice.moments.off" Off { name };
            "practice.moments.on" On { name };
            "practice.moments.passing" Passing { name };
            "practice.moments.past_duty" PastDuty { name };
            "practice.moments.receiver_acts" RECEIVER_ACTS;
            "practice.moments.sinks_on" SINKS_ON;
            "practice.moments.spent" Spent { name };
            "practice.moments.stage" Stage { name };
            "practice.moments.stalls" Stalls { name };
            "practice.moments.surfaced" SURFACED;
            "practice.moments.tank_empty" TANK_EMPTY;
            "practice.moments.unit_unaware" UNIT_UNAWARE;
        }
    }
    pub mod table {
        texts! {
            "practice.table.cause" CAUSE;
            "practice.table.legend" LEGEND;
            "practice.table.title" TITLE;
        }
    }
    pub mod tank {
        texts! {
            "practice.tank.drain" DRAIN;
            "practice.tank.empty" EMPTY;
            "practice.tank.fill" FILL;
            "practice.tank.full" FULL;
            "practice.tank.level" Level { high, low };
            "practice.tank.level_one" LevelOne { low };
            "practice.tank.percent" Percent { number };
            "practice.tank.times" Times { late, soon, way };
            "practice.tank.times_never" TimesNever { soon, way };
            "practice.tank.title" TITLE;
            "practice.tank.unknown_empty" UNKNOWN_EMPTY;
            "practice.tank.unknown_fill" UNKNOWN_FILL;
        }
    }
}
pub mod service {
    texts! {
        "service.batteries" BATTERIES;
        "service.limits" LIMITS;
        "service.name" NAME;
        "service.rules" RULES;
        "service.title" Title { boat };
    }
    pub mod checked {
        texts! {
            "service.checked.about" ABOUT;
            "service.checked.fitted" FITTED;
            "service.checked.title" TITLE;
        }
        pub mod head {
            texts! {
                "service.checked.head.code" CODE;
                "service.checked.head.date" DATE;
                "service.checked.head.signed" SIGNED;
                "service.checked.head.what" WHAT;
                "service.checked.head.who" WHO;
            }
        }
    }
    pub mod packs {
        texts! {
            "service.packs.name" Name { name };
            "service.packs.unknown" UNKNOWN;
        }
    }
    pub mod resale {
        texts! {
            "service.resale.bottle" BOTTLE;
            "service.resale.known" KNOWN;
            "service.resale.law" LAW;
            "service.resale.left" Left { step };
            "service.resale.memory" Memory { memory };
            "service.resale.papers" PAPERS;
            "service.resale.settings" SETTINGS;
            "service.resale.tests" TESTS;
            "service.resale.title" TITLE;
        }
    }
    pub mod ship {
        texts! {
            "service.ship.at_rest" AtRest { works };
            "service.ship.batteries_out" BatteriesOut { packs };
            "service.ship.bottle" BOTTLE;
            "service.ship.couplings" Couplings { couplings };
            "service.ship.gas_out" GAS_OUT;
            "service.ship.packed" PACKED;
            "service.ship.papers" PAPERS;
            "service.ship.propellers" PROPELLERS;
            "service.ship.tank" TANK;
            "service.ship.terminals" TERMINALS;
            "service.ship.title" TITLE;
            "service.ship.transmitter_off" TRANSMITTER_OFF;
            "service.ship.tube" TUBE;
            "service.ship.unloaded" UNLOADED;
        }
    }
    pub mod store {
        texts! {
            "service.store.again" AGAIN;
            "service.store.batteries" BATTERIES;
            "service.store.bottle" BOTTLE;
            "service.store.dry" DRY;
            "service.store.memory" Memory { memory };
            "service.store.seals" SEALS;
            "service.store.title" TITLE;
        }
    }
}
pub mod plan {
    texts! {
        "plan.couplings" COUPLINGS;
        "plan.devices" DEVICES;
        "plan.leads" LEADS;
        "plan.name" NAME;
        "plan.off" OFF;
        "plan.receiver" RECEIVER;
        "plan.title" Title { boat };
        "plan.unit" UNIT;
    }
    pub mod hoses {
        texts! {
            "plan.hoses.title" TITLE;
            "plan.hoses.unsaid" UNSAID;
        }
        pub mod head {
            texts! {
                "plan.hoses.head.hose" HOSE;
                "plan.hoses.head.kind" KIND;
                "plan.hoses.head.work" WORK;
            }
        }
    }
    pub mod outputs {
        texts! {
            "plan.outputs.nothing" Nothing { number };
            "plan.outputs.several" Several { devices, number };
            "plan.outputs.unused" Unused { numbers };
        }
    }
    pub mod strips {
        texts! {
            "plan.strips.about" ABOUT;
            "plan.strips.hose" Hose { work };
            "plan.strips.lead" Lead { from, to };
            "plan.strips.title" TITLE;
        }
    }
}
pub mod handover {
    texts! {
        "handover.accepted" ACCEPTED;
        "handover.accepted_none" ACCEPTED_NONE;
        "handover.card" CARD;
        "handover.card_page" CardPage { boat, page };
        "handover.code_note" CodeNote { code };
        "handover.facts" FACTS;
        "handover.intro" INTRO;
        "handover.logo" LOGO;
        "handover.name" NAME;
        "handover.title" Title { boat };
        "handover.warnings" WARNINGS;
    }
    pub mod cautions {
        texts! {
            "handover.cautions.batteries" BATTERIES;
            "handover.cautions.gas" GAS;
            "handover.cautions.law" LAW;
            "handover.cautions.switched_on" SWITCHED_ON;
            "handover.cautions.title" TITLE;
            "handover.cautions.trial" TRIAL;
            "handover.cautions.trial_surface" TRIAL_SURFACE;
        }
    }
    pub mod files {
        texts! {
            "handover.files.boat" BOAT;
            "handover.files.card" CARD;
            "handover.files.card_html" CARD_HTML;
            "handover.files.card_picture" CARD_PICTURE;
            "handover.files.certificate" CERTIFICATE;
            "handover.files.check" CHECK;
            "handover.files.endpoints" ENDPOINTS;
            "handover.files.guide" GUIDE;
            "handover.files.guide_html" GUIDE_HTML;
            "handover.files.manifest" MANIFEST;
            "handover.files.older" OLDER;
            "handover.files.practice" PRACTICE;
            "handover.files.report" REPORT;
            "handover.files.service" SERVICE;
            "handover.files.sheet" SHEET;
            "handover.files.title" TITLE;
        }
    }
    pub mod head {
        texts! {
            "handover.head.about" ABOUT;
            "handover.head.because" BECAUSE;
            "handover.head.message" MESSAGE;
        }
    }
    pub mod papers {
        texts! {
            "handover.papers.card" CARD;
            "handover.papers.guide" GUIDE;
            "handover.papers.print" PRINT;
            "handover.papers.screen" SCREEN;
            "handover.papers.sheet" SHEET;
            "handover.papers.title" TITLE;
        }
    }
    pub mod verdict {
        texts! {
            "handover.verdict.accepted" Accepted { count };
            "handover.verdict.clean" Clean { count };
            "handover.verdict.draft" DRAFT;
            "handover.verdict.failed" Failed { count };
            "handover.verdict.provisional" Provisional { count, open };
            "handover.verdict.rests" Rests { confidence, count, coverage };
            "handover.verdict.rests_too_few" RestsTooFew { count };
            "handover.verdict.title" TITLE;
            "handover.verdict.warnings" Warnings { count };
        }
    }
}
