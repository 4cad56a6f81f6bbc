"""Physics of small machines: pure functions and frozen dataclasses in plain SI numbers, one topic a file.

The parts and games in examples are made up: round numbers of no kit.

What turns a shaft, and how it moves a load:
    motor, battery, servo                 motor: torque, speed, heat; battery: sag, fuse, wires; servo: at one load, and
    as a drive
    gearmotor                             a motor with gears in one piece, read from its label
    assumed                               what a label does not print, with the band in which it may lie
    gearing, teeth, planetary, belt       gear trains; teeth of gears; epicyclic gears; toothed belts and chains
    screw, shaft                          worm and lead screw; stress in a shaft
    train_search                          every train of a kit for a ratio
    drive                                 battery, motors and train as seen at one output shaft
    motion                                a drive moves a load through a travel (solved by _march, with _exponential)
    control                               how a move is shaped over time, and how well its place is known

Mechanisms:
    arm, chained, parallel                one link and its springs; two links on a chain; bars that keep a direction
    linkage, linkage_load, synthesis      the four-bar: where it goes; what it carries; its lengths from three positions
    slider_crank, scissor, scissor_load   a crank that pushes; crossed arms; what their drive feels
    lift, winch, rope                     slides and cord; cord on a drum; the cord itself (lift and winch share _cord)
    intake, transfer                      rollers that pull a piece in; carrying it on
    gripper, wrist                        jaws; turning and folding them

The whole robot:
    drivetrain, kinematics                driving; wheels that move a robot any way
    balance, footing, envelope            tipping; how wheels share the weight; whether it fits the start box

A match:
    duration, chance                      how long, when nobody knows exactly; how often, from counted tries
    steps, cycle, match                   what waits for what; the seconds of a cycle; the points of a match

For all of them:
    check, constants, rounding            refusing bad arguments; constants of nature; differences that are nothing
    fit                                   curves through readings, each number with its interval
"""
